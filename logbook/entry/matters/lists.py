"""Lines of lists, done or left for the next time: "done leaving: water drained"."""

from __future__ import annotations

import re

from logbook.entry.asking import enter_or
from logbook.entry.matters.line import MatterLine, MatterSaid, known_name
from logbook.entry.understood import ENTER
from logbook.matters import Tick

LISTS = ("packing", "arriving", "leaving", "spring", "autumn")
"""Lists that are there from the start; the owner's own come with the setting."""

_COLON = re.compile(r"\s*(?:done|skip|skipped)\s+([^:]{1,40}?)\s*:\s*(\S.*)", re.IGNORECASE | re.DOTALL)


def read_tick(line: MatterLine) -> MatterSaid | None:
    """Reads "done LIST: LINE" and "skip LIST: LINE"; without the colon only for a known list."""
    done = line.word(0) == "done"
    names = tuple(dict.fromkeys((*line.setting.lists, *LISTS)))
    known = known_name(line, 1, names)
    if known is not None and 1 + known[1] < line.count:
        return MatterSaid(matter=Tick(list_name=known[0], line=line.said(1 + known[1]), done=done))
    match = _COLON.fullmatch(line.text[line.tokens[0].start : line.tokens[-1].end])
    if match is None or len(match.group(1).split()) > 3:
        return None
    name = " ".join(match.group(1).lower().split())
    key = line.asker.ask(
        "list",
        f'There is no list "{name}" ({", ".join(names)}). Enter keeps it as a line of it, n as a note.',
        enter_or("n", enter=f"a line of {name}", other="a note"),
        blocks_scripts=False,
    )
    if key != ENTER:
        return None
    return MatterSaid(matter=Tick(list_name=name, line=match.group(2).strip(), done=done))
