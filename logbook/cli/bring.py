"""The command for packing: what to bring for so many people and nights."""

from __future__ import annotations

from argparse import Namespace
from zoneinfo import ZoneInfo

from logbook.actions import bring as acts
from logbook.actions.house import house_of
from logbook.actions.opening import place_of
from logbook.actions.reckoning import known
from logbook.as_json.supplies import bring_json
from logbook.cli.asked import outside_c, say_degrees, within
from logbook.cli.output import answer, as_of
from logbook.cli.width import wrapped
from logbook.wording.supplies import bring_text, items_told

PEOPLE = (1, 50)
NIGHTS = (0, 120)
"""What is taken; beyond it it is a slip. ASSUMED: past any small cabin."""


def bring(asked: Namespace) -> int:
    """What to carry there, and why; nights of 0 are a day trip."""
    within("--people", asked.people, PEOPLE, "people")
    within("--nights", asked.nights, NIGHTS, "nights")
    request = acts.Asked(
        people=asked.people,
        nights=asked.nights,
        night_low_c=outside_c("--night-low", asked.night_low),
    )
    place = place_of(asked.log)
    with place.open() as log:
        at = as_of(asked, log)
        told = known(log, as_of=at) if log.descriptions() else None
        house = house_of(log, as_of=at, read=told.read if told else None)
    found = acts.bring(house, request, told=told, cache=place.cache)
    setting = house.setting
    say_degrees(asked, setting)
    as_json = bring_json(found, items=items_told(found, setting=setting), zone=ZoneInfo(setting.zone))
    return answer(asked, as_json, wrapped(bring_text(found, setting=setting)))
