"""Ash: out of the stove into its bucket, or tipped where ash goes."""

from __future__ import annotations

import re

from logbook.entry.asking import enter_or
from logbook.entry.matters.line import MatterLine, MatterSaid
from logbook.entry.understood import ENTER
from logbook.matters import Ash, AshAct

_OUT = (
    ("ash", "out"),
    ("ash", "taken", "out"),
    ("took", "ash", "out"),
    ("took", "the", "ash", "out"),
    ("took", "out", "ash"),
    ("took", "out", "the", "ash"),
    ("ash", "in", "bucket"),
    ("ash", "in", "the", "bucket"),
    ("ash", "bucket", "filled"),
    ("filled", "ash", "bucket"),
    ("filled", "the", "ash", "bucket"),
)
_TIPPED = (
    ("ash", "bucket", "tipped"),
    ("ash", "bucket", "emptied"),
    ("ash", "tipped"),
    ("tipped", "ash"),
    ("tipped", "the", "ash"),
    ("ash", "dumped"),
    ("dumped", "ash"),
)
_EITHER = (("emptied", "ash"), ("emptied", "the", "ash"), ("ash", "emptied"), ("emptied", "ashes"))
_PROSE = frozenset({"of", "but", "is", "was", "when", "because", "if", "tomorrow", "later", "still", "not"})
"""Words after "ash out" that make it prose: "ash out of control"."""

_WAIT = re.compile(r"[\s:,;]*\bnot before .*$", re.IGNORECASE | re.DOTALL)
"""What our own sentence says of the waiting; not a place."""


def read_ash(line: MatterLine) -> MatterSaid | None:
    """Reads "ash out bucket by the shed", "tipped ash, compost"."""
    words = tuple("ash" if w == "ashes" else w for w in line.words(0, 4))
    for forms, act in ((_OUT, AshAct.TAKEN_OUT), (_TIPPED, AshAct.TIPPED), (_EITHER, None)):
        for form in sorted(forms, key=len, reverse=True):
            if words[: len(form)] == form:
                return _said(line, len(form), act)
    return None


def _said(line: MatterLine, at: int, act: AshAct | None) -> MatterSaid | None:
    if line.word(at) in _PROSE and not line.parted(at):
        return None
    if line.word(at) == "bucket" and line.word(at - 1) == "ash" and act is not AshAct.TAKEN_OUT:
        act, at = AshAct.TIPPED, at + 1  # "emptied the ash bucket" is out of the bucket, not of the stove
    if act is None:
        key = line.asker.ask(
            "ash",
            f'"{line.said(0, at)}": Enter means ash out of the stove, t the bucket tipped.',
            enter_or("t", enter="ash out of the stove", other="the bucket tipped"),
        )
        act = AshAct.TAKEN_OUT if key == ENTER else AshAct.TIPPED
    first = at + (line.word(at) in {"to", "into"} and at + 1 < line.count)
    where = _WAIT.sub("", line.said(first)) if act is AshAct.TAKEN_OUT else line.said(first)
    return MatterSaid(matter=Ash(act=act, where=where.rstrip(" .!")))
