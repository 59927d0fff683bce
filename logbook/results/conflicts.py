"""What two computers made of one entry, or of one thing kept as a whole, told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from logbook.records import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One of the claims. ``entry`` None: it shall be left out; ``by_undo`` that it was taken back."""

    holds: bool
    entry: Entry | None
    by_undo: bool
    device: str
    written_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldConflict:
    """An entry of which computers say different things, by the identifier it is called by."""

    ident: str
    sides: tuple[Side, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptSide:
    """One version of something kept as a whole, such as the emergency page; ``text`` as it is kept, ``words``
    from where it parts from the others."""

    holds: bool
    text: str
    words: str
    device: str
    written_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldSetting:
    """Something kept as a whole that computers changed apart from each other; what holds stands first."""

    ident: str
    name: str
    sides: tuple[KeptSide, ...]
