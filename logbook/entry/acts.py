"""Lines that ask for something instead of recording it, and the dated changes to cabin and stove."""

from __future__ import annotations

import re
from datetime import datetime

from logbook.entry.asking import Asker
from logbook.entry.limits import celsius, refused
from logbook.entry.measures import read_measure
from logbook.entry.tokens import number_text, plain
from logbook.entry.understood import LineAct, LineActKind
from logbook.entry.words import LABELS, PAGES
from logbook.setting import Setting

BAND_C = (-10.0, 45.0)
"""Bands that can be wished for, °C. ASSUMED: below is frost on the bed, above is heat stroke."""

_BAND = re.compile(
    r"band\s+(-?\d+(?:\.\d+)?)\s*°?([cf]?)\s*(?:-|to|/|\s)\s*(-?\d+(?:\.\d+)?)\s*°?\s*([cf]?)", re.ASCII
)
_CHANGES = (
    (re.compile(r"(?:air )?lever (?:rescaled|moved|changed|slipped)"), "lever rescaled"),
    (re.compile(r"thermometer moved|moved (?:the )?thermometer"), "thermometer moved"),
    (re.compile(r"new (?:door )?gasket|(?:door )?gasket (?:changed|replaced|new)"), "new gasket"),
    (re.compile(r"(?:work|change):?\s+(.{1,60}?)(?:\s+done)?"), ""),
)


_TAKEN = frozenset(LABELS) | {"air", "damper", "note", "load", "bed", "window", "heater", "rh", "humidity"}
"""Words whose "=" is only a way of writing: "air = 1/4"."""


def read_act(text: str, asker: Asker, *, now: datetime, setting: Setting) -> LineAct | None:
    """The command a whole line is, or None when it is a record.

    Raises:
        RefusedError: for a band or a measure that makes no sense, with what to type.
    """
    line = " ".join(plain(text).split()).rstrip(".!")
    if line in {"undo", "redo"}:
        return LineAct(kind=LineActKind(line))
    if line in PAGES:
        return LineAct(kind=LineActKind.PAGE, name=line)
    if match := _BAND.fullmatch(line):
        return _band(match, text, setting=setting)
    if re.match(r"band\b", line) and re.search(r"\d", line):
        raise refused("That band can't be read.", "Type two temperatures: band 15-21.", (0, len(text)))
    if "=" in line and not _TAKEN & set(line.split("=")[0].split()):
        return read_measure(text, asker, now=now, setting=setting)
    return None


def read_change(words: str) -> str | None:
    """The name of a change to cabin or stove that words say, or None."""
    line = " ".join(plain(words).split()).strip(" .!,;:")
    for pattern, name in _CHANGES:
        if match := pattern.fullmatch(line):
            if name:
                return name
            start = words.lower().find(match.group(1))
            return words[start : start + len(match.group(1))] if start >= 0 else match.group(1)
    return None


def _band(match: re.Match[str], text: str, *, setting: Setting) -> LineAct:
    unit = (match.group(4) or match.group(2)).upper() or setting.units.temperature
    low, high = float(match.group(1)), float(match.group(3))
    low_c, high_c = celsius(low, unit), celsius(high, unit)
    if not (BAND_C[0] <= low_c < high_c <= BAND_C[1]):
        raise refused(
            f"A band from {number_text(low)} to {number_text(high)} °{unit} can't be.",
            "The lower one first, for example: band 15-21.",
            (0, len(text)),
        )
    return LineAct(kind=LineActKind.BAND, low_c=low_c, high_c=high_c)
