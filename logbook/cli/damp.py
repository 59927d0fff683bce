"""The command about damp: dew point against surfaces, the stay's water, airing on leaving."""

from __future__ import annotations

from argparse import Namespace
from zoneinfo import ZoneInfo

from logbook.actions import damp as acts
from logbook.as_json.damp import damp_json
from logbook.cli.asked import house_asked, inside_c, outside_c, within
from logbook.cli.output import answer
from logbook.cli.width import wrapped
from logbook.wording.damp import advice_text, damp_text

RH_PCT = (1.0, 100.0)
"""What is taken; beyond it it is a slip. ASSUMED: past any weather, room or hygrometer."""


def damp(asked: Namespace) -> int:
    """Where it is likely to be wet, and how long to air."""
    request = acts.Asked(
        inside_c=inside_c("--inside", asked.inside),
        outdoor_c=outside_c("--outdoor", asked.outdoor),
        rh_pct=within("--rh", asked.rh, RH_PCT, "%"),
        night_low_c=outside_c("--night-low", asked.night_low),
    )
    house = house_asked(asked)
    found = acts.damp(house, request)
    setting = house.setting
    as_json = damp_json(found, advice=advice_text(found, setting=setting), zone=ZoneInfo(setting.zone))
    return answer(asked, as_json, wrapped(damp_text(found, setting=setting)))
