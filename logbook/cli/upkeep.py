"""The command about upkeep: what is due, and the dated record to print."""

from __future__ import annotations

from argparse import Namespace
from zoneinfo import ZoneInfo

from logbook.actions import upkeep
from logbook.actions.opening import place_of
from logbook.actions.safe_copies import last_copy
from logbook.as_json import time_json
from logbook.as_json.upkeep import due_json, record_json
from logbook.cli.output import answer, as_of
from logbook.cli.width import wrapped
from logbook.errors import BadInputError
from logbook.wording.copies import last_copy_text
from logbook.wording.upkeep import due_text, record_text


def due(asked: Namespace) -> int:
    """What is due with the ash's date, every task, or the dated record."""
    if asked.all and asked.record:
        raise BadInputError("--all and --record ask for two pages.\nGive one of them.")
    place = place_of(asked.log)
    with place.open() as log:
        at = as_of(asked, log)
        house, ahead = upkeep.house_and_ahead(log, as_of=at)
        copied = last_copy(log, place.copies)
        written = upkeep.when_written(log, as_of=at) if asked.record else None
    zone, setting = ZoneInfo(house.setting.zone), house.setting
    if asked.record:
        record = upkeep.the_record(house, ahead=ahead, written=written)
        return answer(asked, record_json(record, zone=zone), wrapped(record_text(record, setting=setting)))
    got = upkeep.what_is_due(house, ahead=ahead)
    rows = due_text(got, setting=setting, everything=asked.all)
    rows = (*rows, "", last_copy_text(copied, setting=setting))
    told = due_json(got, zone=zone, everything=asked.all)
    told["last_copy"] = None if copied is None else time_json(copied, zone=zone)
    return answer(asked, told, wrapped(rows))
