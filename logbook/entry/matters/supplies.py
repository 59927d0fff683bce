"""Supplies: how much there is, what was carried in, and what to bring."""

from __future__ import annotations

import re

from logbook.entry.facts import fraction_of
from logbook.entry.limits import refused
from logbook.entry.matters.line import (
    NOT_NAMES,
    SPOKEN,
    MatterLine,
    MatterSaid,
    has_number,
    known_name,
    number_and_unit,
    number_at,
)
from logbook.entry.tokens import number_text
from logbook.entry.understood import ENTER, Answer
from logbook.matters import Bring, Brought, Level

LONGEST_ITEM = 4
"""Words the name of a supply may have. ASSUMED: more is prose."""

MOST = 1e6
"""Amounts kept, in any unit. ASSUMED: more is a slip of the keys."""

_LITRES = dict.fromkeys(["l", "litre", "litres", "liter", "liters", "ltr"], "L")
_UNITS = {
    **_LITRES,
    **dict.fromkeys(["kg", "kgs", "kilo", "kilos"], "kg"),
    **dict.fromkeys(["lb", "lbs", "pound", "pounds"], "lb"),
    **dict.fromkeys(["g", "gram", "grams"], "g"),
    **dict.fromkeys(["gal", "gallon", "gallons"], "gal"),
    **dict.fromkeys(["qt", "quart", "quarts"], "qt"),
    "ml": "ml",
    "oz": "oz",
    "%": "%",
}
_COUNTED = (
    "bottle bottles can cans tin tins pack packs packet packets box boxes bag bags roll rolls jar jars pair "
    "pairs canister canisters cartridge cartridges jug jugs crate crates sack sacks cylinder cylinders tank "
    "tanks"
)
_PIECES = frozenset(_COUNTED.split())
_WORDS = {"full": 100.0, "empty": 0.0, "half": 50.0, "quarter": 25.0}
_PARTS_OF = {"third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fifth": 5, "fifths": 5, "eighths": 8}
_PERCENT = re.compile(r"([+-]?\d+(?:\.\d+)?)%", re.ASCII)

Amount = tuple[float, str, int]
"""Value, unit as kept, and the words it takes."""


def read_level(line: MatterLine) -> MatterSaid | None:
    """Reads "level water 14 L", "level gas 40 %", "level gas half", "level 14 L water", "level 2/3 gas"."""
    found = _share_first(line) or _item_and_amount(line, shares=True)
    if found is None:
        return None
    item, amount, unit, end = found
    if unit == "%" and amount > 100.0:
        raise refused(
            f"{number_text(amount)} % is more than full.", "It goes from 0 to 100 %.", line.span(1, end)
        )
    return MatterSaid(matter=Level(item=item, amount=amount, unit=unit), note=line.said(end))


def read_brought(line: MatterLine) -> MatterSaid | None:
    """Reads "brought water 20 L", "brought 20 L of water"."""
    found = _item_and_amount(line, shares=False)
    if found is None:
        return None
    item, amount, unit, end = found
    return MatterSaid(matter=Brought(item=item, amount=amount, unit=unit), note=line.said(end))


def read_supply(line: MatterLine) -> MatterSaid | None:
    """Reads "water 14 L", a supply of the log and how much of it, nothing before it: asked what is meant."""
    known = known_name(line, 0, line.setting.supplies)
    amount = None if known is None else _amount(line, known[1], shares=True)
    if known is None or amount is None:
        return None
    end = known[1] + amount[2]
    if end + (line.word(end) in {"left", "there"}) < line.count or (amount[1] == "%" and amount[0] > 100.0):
        return None
    key = line.asker.ask(
        "supply",
        f'"{line.said(0)}": Enter keeps it as what is there, b as carried in, n as a note.',
        (
            Answer(key=ENTER, means="what is there"),
            Answer(key="b", means="carried in"),
            Answer(key="n", means="a note"),
        ),
        blocks_scripts=False,
    )
    if key == "n":
        return None
    kind = Brought if key == "b" else Level
    return MatterSaid(matter=kind(item=known[0], amount=amount[0], unit=amount[1]))


def read_bring(line: MatterLine) -> MatterSaid | None:
    """Reads "bring mouse traps 2", "bring 2 mouse traps", "bring lamp oil"."""
    if line.count < 2 or line.word(1) in NOT_NAMES - {"a", "an", "some", "more"}:
        return None
    found = _item_and_amount(line, shares=False)
    if found is not None:
        item, amount, unit, end = found
        return MatterSaid(matter=Bring(item=item, amount=amount, unit=unit), note=line.said(end))
    first = 1 + (line.word(1) in {"a", "an", "some", "more"})
    if first >= line.count:
        return None
    end = next((i for i in range(first + 1, line.count) if line.parted(i)), line.count)
    return MatterSaid(matter=Bring(item=_item_name(line, first, end)), note=line.said(end))


def read_got(line: MatterLine) -> MatterSaid | None:
    """Reads "got mouse traps", when they are on the list of what to bring."""
    first = 2 if line.word(1) in {"the", "some"} else 1
    if number := number_at(line, first):
        first += number[1]
    known = known_name(line, first, line.setting.to_bring)
    if known is None:
        return None
    end = first + known[1]
    return MatterSaid(matter=Bring(item=known[0], got=True), note=line.said(end))


def _item_and_amount(line: MatterLine, *, shares: bool) -> tuple[str, float, str, int] | None:
    """Item, amount, unit, and where they end, whichever of them comes first; None for prose."""
    known = known_name(line, 1, line.setting.supplies + line.setting.to_bring)
    if known is not None and (amount := _amount(line, 1 + known[1], shares=shares)):
        return known[0], amount[0], amount[1], 1 + known[1] + amount[2]
    leading = _amount(line, 1, shares=shares)
    if leading is not None and (leading[1] or not shares):  # "level 3 was closed" tells no supply
        return _amount_first(line, leading)
    first = 1
    while first < line.count and _amount(line, first, shares=shares) is None:
        first += 1
    if not 1 < first < line.count or first - 1 > LONGEST_ITEM or line.word(1) in NOT_NAMES:
        return None
    if any(line.parted(i) for i in range(2, first)):
        return None
    found = _amount(line, first, shares=shares)
    assert found is not None, "found above"
    end = first + found[2]
    if not line.parted(end) and not found[1]:
        return None  # "level crossing 3 was closed"
    return _item_name(line, 1, first), found[0], found[1], end


def _share_first(line: MatterLine) -> tuple[str, float, str, int] | None:
    """A share before a supply that is known, and nothing after: unread, "level 2/3 gas" would set the air."""
    part = _part(line, 1)
    if part is None:
        return None
    at = 1 + part[1]
    at += line.word(at) == "of"
    at += line.word(at) == "the"
    known = known_name(line, at, line.setting.supplies)
    if known is None or not line.parted(at + known[1]):
        return None
    return known[0], part[0], "%", at + known[1]


def _amount_first(line: MatterLine, found: Amount) -> tuple[str, float, str, int] | None:
    start = 1 + found[2]
    start += line.word(start) == "of"
    end = start + 1
    while not line.parted(end):
        end += 1
    if line.parted(start) or end - start > LONGEST_ITEM or line.word(start) in NOT_NAMES:
        return None
    if has_number(line.without(end), start):
        return None
    return _item_name(line, start, end), found[0], found[1], end


def _amount(line: MatterLine, at: int, *, shares: bool) -> Amount | None:
    """A number with its unit. ``shares`` allows "half", "full" and fractions of a tank."""
    word = line.word(at)
    if shares and (share := _share(line, at)):
        return share
    if match := _PERCENT.fullmatch(word):
        return _checked(line, at, float(match.group(1)), "%", 1)
    found = number_and_unit(line, at)
    if found is None:
        return None
    value, unit, taken = found
    unit = unit.rstrip(".")
    if unit in _UNITS:
        return _checked(line, at, value, _UNITS[unit], taken)
    if unit in _PIECES:
        return _checked(line, at, value, unit, taken)
    if word in {"half", "quarter", "a", "an"}:
        return None  # "half a dozen eggs", "a new broom": only a measure makes a number of them
    plain_number = number_at(line, at)
    return _checked(line, at, value, "", plain_number[1]) if plain_number else None


def _share(line: MatterLine, at: int) -> Amount | None:
    """A share with nothing after it but what holds it: "half", "3/4 full", "a quarter of the tank"."""
    part = _part(line, at)
    if part is None:
        return None
    end = at + part[1]
    if line.words(end, end + 2) == ("of", "the") and line.word(end + 2) in _PIECES:
        end += 3
    return (part[0], "%", end - at) if line.parted(end) else None


def _part(line: MatterLine, at: int) -> tuple[float, int] | None:
    """A share in per cent, and the words it takes: "1/2", "full", "half full", "a quarter", "two thirds"."""
    many, of = SPOKEN.get(line.word(at), 0.0), _PARTS_OF.get(line.word(at + 1), 0)
    if of and 1.0 <= many <= of:
        return 100.0 * many / of, 2 + (line.word(at + 2) == "full")
    first = at + (line.word(at) in {"a", "an"})
    word = line.word(first)
    if (part := fraction_of(word)) is not None and part[0] <= part[1]:
        percent = 100.0 * part[0] / part[1]
    elif word in _WORDS:
        percent = _WORDS[word]
    else:
        return None
    return percent, first + 1 + (line.word(first + 1) == "full") - at


def _checked(line: MatterLine, at: int, value: float, unit: str, taken: int) -> Amount:
    if not 0.0 <= value <= MOST:
        wrong = "is less than nothing." if value < 0.0 else "is more than can be."
        raise refused(
            f"{number_text(value)} {unit}".rstrip() + f" {wrong}",
            "Type the amount again.",
            line.span(at, at + taken),
        )
    return value, unit, taken


def _item_name(line: MatterLine, first: int, last: int) -> str:
    known = known_name(line, first, line.setting.supplies + line.setting.to_bring)
    if known is not None and first + known[1] == last:
        return known[0]
    return line.name(first, last)
