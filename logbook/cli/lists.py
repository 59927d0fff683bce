"""The command about lists: what to pack, do on arriving and leaving, in spring and in autumn."""

from __future__ import annotations

import shutil
import textwrap
from argparse import Namespace
from collections.abc import Iterable, Iterator
from zoneinfo import ZoneInfo

from logbook.actions import lists as acts
from logbook.actions.lines import Noted
from logbook.actions.opening import place_of
from logbook.actions.setting_now import setting_now
from logbook.as_json.lists import list_json
from logbook.care.list_conditions import ListFacts
from logbook.cli.asked import outside_c, say_degrees
from logbook.cli.copied import copied_on_leaving, copied_said, with_copy
from logbook.cli.flag_values import readable
from logbook.cli.output import answer, as_of, time_now
from logbook.cli.width import WIDEST
from logbook.errors import BadInputError
from logbook.results.copies import MadeCopy
from logbook.results.lists import ListAnswer
from logbook.store.log import Log
from logbook.wording.lists import Row, list_rows, paper_rows

MARGIN = 8
"""Columns before the words: seven and a blank."""

PAPER_COLUMNS = 78
"""Width of the page for printing, columns; A4 and Letter at 10 to the inch."""


def list_(asked: Namespace) -> int:
    """Show a list, or tick, add, move, leave out one line of it."""
    if (asked.before or asked.when) and asked.add is None:
        raise BadInputError(
            '--before and --when go with a new line.\nWrite: --add "TEXT" --before 3 --when frost'
        )
    writes = any(value is not None for value in (asked.done, asked.skip, asked.add, asked.out, asked.move))
    writes = writes or asked.back is not None
    place = place_of(asked.log)
    with place.open() as log:
        if writes:
            noted = _write(log, asked)
            return _written(asked, noted, copied_on_leaving(log, place, noted.event_ids))
        facts = ListFacts(
            outdoor_low_c=outside_c("--night-low", asked.night_low),
            droppings=asked.droppings,
            guests=asked.guests or None,
        )
        found = acts.list_now(log, asked.name, now=as_of(asked, log), facts=facts)
        return _shown(asked, found, log)


def _write(log: Log, asked: Namespace) -> Noted:
    if asked.as_of is not None:
        raise BadInputError(
            "A line is ticked or changed now, not --as-of another time.\n"
            'For an earlier time: nightload note "13:05 done leaving: water drained"'
        )
    now = time_now(log)
    name = asked.name or acts.list_now(log, None, now=now).name
    if asked.add is not None:
        before = readable(asked.before) if asked.before else None
        return acts.add_line(log, name, readable(asked.add), now=now, before=before, when=asked.when)
    if asked.move is not None:
        return acts.move_line(log, name, *map(readable, asked.move), now=now)
    if asked.out is not None:
        return acts.leave_out(log, name, readable(asked.out), now=now)
    if asked.back is not None:
        return acts.put_back(log, name, readable(asked.back), now=now)
    done = asked.done is not None
    return acts.tick(log, name, readable(asked.done if done else asked.skip), done=done, now=now)


def _written(asked: Namespace, noted: Noted, copied: MadeCopy | None) -> int:
    kept = {"sentence": noted.sentence, "ids": list(noted.event_ids), "warnings": list(noted.warnings)}
    return answer(asked, kept | with_copy(copied), [noted.sentence, *copied_said(copied)])


def _shown(asked: Namespace, found: ListAnswer, log: Log) -> int:
    setting = setting_now(log)
    say_degrees(asked, setting)
    columns = min(shutil.get_terminal_size((80, 24)).columns, WIDEST)
    rows = list_rows(found, setting=setting)
    if asked.paper:
        versions = log.descriptions()
        name = versions[-1].description.site.name if versions else ""
        rows, columns = paper_rows(found, setting=setting, name=name), PAPER_COLUMNS
    return answer(asked, list_json(found, zone=ZoneInfo(setting.zone)), in_columns(rows, columns))


def in_columns(rows: Iterable[Row], columns: int) -> Iterator[str]:
    """Rows with their margin to the right of seven columns, words broken beside it."""
    for margin, words in rows:
        numbered = words[:2].strip().isdigit() and words[2:3] == " "
        hang = " " * (MARGIN + (3 if numbered else 0))
        first = f"{margin:>{MARGIN - 1}} "
        kept = words.replace(" ", "\u00a0", 1) if numbered and words.startswith(" ") else words
        broken = textwrap.wrap(
            kept, columns, initial_indent=first, subsequent_indent=hang, break_long_words=False
        )
        yield from (row.replace("\u00a0", " ").rstrip() for row in broken or [""])
