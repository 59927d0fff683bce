"""Amounts of wood in household units: kg, boxes, steres, cords, face cords by the length of their pieces."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from logbook.entry.asking import enter_or
from logbook.entry.facts import MASS_UNITS, MEASURES, found_number, piece_name
from logbook.entry.limits import checked_within, refused
from logbook.entry.matters.line import SPOKEN, MatterLine, number_and_unit
from logbook.entry.tokens import number_text, plain
from logbook.entry.understood import RefusedError
from logbook.units import (
    KG_PER_TONNE,
    M2_FACE_CORD_FRONT,
    M3_PER_CORD,
    M3_PER_FT3,
    M3_PER_STERE,
    M_PER_FT,
    M_PER_IN,
    STACKED_PER_SOLID,
    kg_from_lb,
)

STACK_M3 = (0.0, 500.0)
"""Stacks kept, m³. ASSUMED: more than a hundred winters of a small cabin."""

STACK_KG = (0.0, 300_000.0)
"""Stacks kept, kg. ASSUMED: what the largest volume may weigh."""

LENGTH_M = (0.1, 2.0)
"""Lengths of pieces in a rack, m. ASSUMED: shorter is kindling, longer are logs not yet cut."""

_STERE_WORDS = "stere steres stère stères ster steren sters rm raummeter m3 m³ cbm cum"
_STERES = dict.fromkeys(_STERE_WORDS.split(), M3_PER_STERE)
_STACKED_M3 = (
    _STERES
    | dict.fromkeys(("cord", "cords"), M3_PER_CORD)
    | dict.fromkeys(["ft3", "ft³", "cuft", "cf"], M3_PER_FT3)
)
_LOOSE = dict.fromkeys(["srm", "sm3", "lm3", "schüttraummeter"], M3_PER_STERE)
_SOLID = frozenset(["fm", "fm3", "festmeter", "efm", "vfm"])
_TONNES = frozenset(["t", "tonne", "tonnes", "tons", "ton"])
_ROWS = frozenset(["rack", "racks", "rick", "ricks", "row", "rows", "facecord", "facecords", "face"])
_METRES = ("m", "metre", "metres", "meter", "meters")
_LENGTHS = {
    "cm": 0.01,
    "mm": 0.001,
    **dict.fromkeys(_METRES, 1.0),
    **dict.fromkeys(("in", "inch", "inches", '"', "”"), M_PER_IN),
    **dict.fromkeys(("ft", "foot", "feet", "'"), M_PER_FT),
}
_LENGTH_WORDS = "|".join(sorted(_LENGTHS, key=len, reverse=True))
_DIMENSIONS = re.compile(
    rf"(\d+(?:\.\d+)?)\s*({_LENGTH_WORDS})?\s*[x×*]\s*(\d+(?:\.\d+)?)\s*({_LENGTH_WORDS})?\s*[x×*]\s*"
    rf"(\d+(?:\.\d+)?)\s*({_LENGTH_WORDS})?(?=[\s,;]|$)",
    re.ASCII,
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}(?![\d.,])", re.ASCII)

UNITS_SAID = "0.9 stere, 1/2 cord, rack 40 cm, 2 m x 1.2 m x 40 cm, 500 kg, or your own measure"
"""What a refusal offers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodAmount:
    """An amount of wood: m³ as it lies or kg, the words that said so, and whether it was thrown in."""

    volume_m3: float | None = None
    mass_kg: float | None = None
    as_said: str = ""
    loose: bool = False


def amount_starts(line: MatterLine, at: int) -> bool:
    """Whether an amount of wood may begin at a word, well said or not."""
    if line.word(at) in SPOKEN:
        return wood_amount(line, at) is not None  # "pile two" is a name
    return number_and_unit(line, at) is not None or begins_row(line, at)


def begins_row(line: MatterLine, at: int) -> bool:
    """Whether a row, rack or face cord is named without a number before it."""
    return line.word(at) in _ROWS and (line.word(at) != "face" or line.word(at + 1) == "cord")


def wood_amount(line: MatterLine, at: int) -> tuple[WoodAmount, int] | None:
    """An amount of wood and the words it takes, or None where there is none.

    Raises:
        RefusedError: for one that can't be turned into a volume or a mass, with what to type.
    """
    sized = _by_dimensions(line, at)
    found = sized or _by_unit(line, at)
    if found is None:
        return None
    amount, taken = found
    span = line.span(at, at + taken)
    if amount.volume_m3 is not None:
        _not_negative(amount.volume_m3, line, span)
        checked_within("A stack", round(amount.volume_m3, 3), STACK_M3, "m³", span)
    if amount.mass_kg is not None:
        _not_negative(amount.mass_kg, line, span)
        checked_within("A stack", round(amount.mass_kg, 1), STACK_KG, "kg", span)
    return replace(amount, as_said=line.said(at, at + taken)), taken


def _not_negative(value: float, line: MatterLine, span: tuple[int, int]) -> None:
    if value < 0.0:
        raise refused(
            f"{number_text(value)} is less than nothing.", "Type what is there; 0 when it is gone.", span
        )


def _by_unit(line: MatterLine, at: int) -> tuple[WoodAmount, int] | None:
    found = number_and_unit(line, at)
    if found is None:
        if line.word(at) in _ROWS and line.word(at + 1) not in MEASURES:
            return _row(line, at, 1.0, line.word(at), 1)
        return None
    number, unit, taken = found
    unit = unit.rstrip(".")
    if unit in {"loose", "full"}:  # "2 loose m3", "a full cord"
        inner = line.word(at + taken)
        if inner in _STACKED_M3:
            volume = number * _STACKED_M3[inner]
            return WoodAmount(volume_m3=volume, loose=unit == "loose"), taken + 1
    if unit in {"cubic", "cu", "solid"}:
        return _cubic(line, at, number, taken, solid=unit == "solid")
    if unit in _SOLID:
        raise _solid(line, at, taken)
    if unit in MASS_UNITS or unit in _TONNES:
        return WoodAmount(mass_kg=_mass_kg(line, at, number, unit, taken)), taken
    if (name := piece_name(unit, line.setting)) is not None:
        return WoodAmount(mass_kg=number * dict(line.setting.weights_kg)[name]), taken
    if unit in _STACKED_M3:
        return WoodAmount(volume_m3=number * _STACKED_M3[unit]), taken
    if unit in _LOOSE:
        return WoodAmount(volume_m3=number * _LOOSE[unit], loose=True), taken
    if unit in _ROWS:
        return _row(line, at, number, unit, taken)
    if unit in MEASURES or unit in {"s", "m", "l"}:
        word = unit.upper() if len(unit) == 1 else unit
        word = "box" if word == "boxes" else word.removesuffix("s")
        raise refused(
            f'"{word}" has no weight yet.', f"Type: 1 {word} = 19 kg, then this again.", line.span(at)
        )
    return None


def _cubic(
    line: MatterLine, at: int, number: float, taken: int, *, solid: bool
) -> tuple[WoodAmount, int] | None:
    """Reads "2 cubic metres", "85 cu ft"; refuses solid ones."""
    unit = line.word(at + taken)
    if solid:
        raise _solid(line, at, taken + (not line.parted(at + taken)))
    if unit in _METRES:
        return WoodAmount(volume_m3=number * M3_PER_STERE), taken + 1
    if unit in {"ft", "feet", "foot"}:
        return WoodAmount(volume_m3=number * M3_PER_FT3), taken + 1
    return None


def _solid(line: MatterLine, at: int, taken: int) -> RefusedError:
    return refused(
        f"{line.said(at, at + taken)} is solid wood, without the air in a stack.",
        f"Type what it is stacked: about {STACKED_PER_SOLID:g} times as many stere.",
        line.span(at, at + taken),
    )


def _mass_kg(line: MatterLine, at: int, number: float, unit: str, taken: int) -> float:
    """Kilograms of a weight; "1,200 kg" is asked about."""
    said = line.tokens[at].text
    if unit in {"ton", "tons"}:
        raise refused(
            f"A {unit.removesuffix('s')} has 907 kg in one land and 1000 kg in another.",
            "Type it in kg or lb.",
            line.span(at, at + taken),
        )
    if unit in _TONNES:
        return number * KG_PER_TONNE
    if _THOUSANDS.match(said):
        whole = number * 1000.0
        shown = f"{whole:.0f} {unit}"
        key = line.asker.ask(
            "thousands",
            f"{said} {unit}: Enter means {shown}, d means {number_text(number)} {unit}.",
            enter_or("d", enter=shown, other=f"{number_text(number)} {unit}"),
        )
        number = number if key == "d" else whole
    return kg_from_lb(number) if MASS_UNITS[unit] == "lb" else number


def _row(line: MatterLine, at: int, number: float, unit: str, taken: int) -> tuple[WoodAmount, int]:
    """A face cord or rack: 4 ft x 8 ft in front, as deep as its pieces are long."""
    after = at + taken
    if unit == "face" and line.word(after) in {"cord", "cords"}:
        after += 1
    if line.word(after) in {"of", "at", "cut"}:
        after += 1
    length = number_and_unit(line, after)
    if length is None or length[1] not in _LENGTHS:
        raise refused(
            f"{line.said(at, after)}: a row means nothing without the length of its pieces.",
            "Type it like rack 40 cm or 2 racks 16 in (4 ft x 8 ft in front), or 2 m x 1.2 m x 40 cm.",
            line.span(at, after),
        )
    metres = length[0] * _LENGTHS[length[1]]
    end = after + length[2]
    checked_within("Pieces", round(metres, 3), LENGTH_M, "m", line.span(after, end))
    return WoodAmount(volume_m3=number * M2_FACE_CORD_FRONT * metres), end - at


def _by_dimensions(line: MatterLine, at: int) -> tuple[WoodAmount, int] | None:
    """Reads "2 m x 1.2 m x 40 cm", with "rack" or "row" before it or not."""
    first = at + 1 if line.word(at) in _ROWS else at
    if first >= line.count or not line.word(first)[:1].isdigit():
        return None
    start = line.tokens[first].start
    match = _DIMENSIONS.match(plain(line.text), start)
    if match is None or match.end() > line.tokens[-1].end:
        return None
    taken = sum(1 for token in line.tokens[at:] if token.start < match.end())  # the signs are words too
    units = [match.group(2), match.group(4), match.group(6)]
    given = [unit for unit in reversed(units) if unit]
    if not given:
        raise refused(
            f"{match.group().strip()}: in metres or in feet?",
            "Type the units: 2 m x 1.2 m x 40 cm.",
            (start, match.end()),
        )
    volume = 1.0
    for value, unit in zip((match.group(1), match.group(3), match.group(5)), units, strict=True):
        volume *= (found_number(value) or 0.0) * _LENGTHS[unit or given[0]]
    return WoodAmount(volume_m3=volume), taken
