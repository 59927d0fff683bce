"""The command about upkeep: what is due, and the dated record to print."""

from __future__ import annotations

from argparse import Namespace
from zoneinfo import ZoneInfo

from logbook.actions import upkeep
from logbook.actions.opening import place_of
from logbook.as_json.upkeep import due_json, record_json
from logbook.cli.output import answer, as_of
from logbook.cli.width import wrapped
from logbook.errors import BadInputError
from logbook.wording.upkeep import due_text, record_text


def due(asked: Namespace) -> int:
    """What is due with the ash's date, every task, or the dated record."""
    if asked.all and asked.record:
        raise BadInputError("--all and --record ask for two pages.\nGive one of them.")
    with place_of(asked.log).open() as log:
        at = as_of(asked, log)
        house, ahead = upkeep.house_and_ahead(log, as_of=at)
        written = upkeep.when_written(log, as_of=at) if asked.record else None
    zone, setting = ZoneInfo(house.setting.zone), house.setting
    if asked.record:
        record = upkeep.the_record(house, ahead=ahead, written=written)
        return answer(asked, record_json(record, zone=zone), wrapped(record_text(record, setting=setting)))
    got = upkeep.what_is_due(house, ahead=ahead)
    rows = wrapped(due_text(got, setting=setting, everything=asked.all))
    return answer(asked, due_json(got, zone=zone, everything=asked.all), rows)
