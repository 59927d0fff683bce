"""What a printed page is made of, whatever it is written out as."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Size(StrEnum):
    """Paper sizes. Source: ISO 216 (A4, 210 × 297 mm); ANSI/ASME Y14.1 (Letter, 8.5 × 11 in)."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading within the page."""

    text: str


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph; ``strong`` for what must not be overlooked."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Steps:
    """Things to do in order, numbered; or, with ``boxes``, each with a box to tick by hand."""

    items: tuple[str, ...]
    boxes: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under headings. ``widths`` share out the line, one for each column; ``blank`` adds empty rows to
    write in."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...] = ()
    widths: tuple[int, ...] = ()
    blank: int = 0


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart drawn in characters, and the sentence that says what it shows."""

    text: str
    message: str


@dataclass(frozen=True, slots=True)
class Lines:
    """Empty lines to write on."""

    count: int


Block = Heading | Para | Steps | Table | Drawing | Lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page: its title, a line below it, the blocks, and the foot. ``many`` allows more than one sheet."""

    title: str
    below: str = ""
    blocks: tuple[Block, ...] = ()
    foot: str = ""
    many: bool = False
