"""Sheets for the wall and for the weekend, in words a guest understands who has never seen the stove."""

from __future__ import annotations

from collections.abc import Iterable

from logbook import cautions
from logbook.records import OwnUnits
from logbook.results.sheets import GuestCard
from logbook.results.upkeep import RecordRow
from logbook.wording.amounts import (
    MONTHS,
    air_text,
    mass_text,
    millimetres_text,
    number_text,
    temperature_value,
)

OUT_FIRST = cautions.ALARM_SOUNDS.sentence
"""What stands first on the guest sheet."""

NO_PAGE = "The owner has written no emergency page yet. Ask now where to meet, and whom to call."

NEAR = 0.1
"""A load counted in pieces may be this share lighter than it is. ASSUMED: finer than pieces are sorted."""

UNBROKEN = "\u00a0"
"""A space at which no row ends."""

UNTIL_SAFE = cautions.UNTIL_SAFE.sentence


def guest_title(card: GuestCard) -> tuple[str, str]:
    """The title and the line below it."""
    whose = f"{card.place}: the" if card.place else "The"
    day = card.written_on
    written = f"Made from the owner's log on {day.day} {MONTHS[day.month - 1]} {day.year}."
    return f"{whose} stove, for guests", f"{written} In doubt, don't light it: ask."


def before_lighting(card: GuestCard) -> tuple[str, ...]:
    """What comes before any fire."""
    return (
        cautions.TEST_BOTH.sentence,
        cautions.DROPPINGS_OR_NEST.sentence,
        cautions.DAMPER_OPEN.sentence,
    )


def lighting(card: GuestCard) -> tuple[str, ...]:
    """From a cold stove to a fire."""
    return (
        f"{_lever(card)} Set it {air_text(100.0)}.",
        f"Kindling and the smallest dry pieces, few at first. Air stays {air_text(100.0, both_ways=False)} "
        f"until it burns well, about {number_text(card.cold_minutes)} minutes. Stay awake, and beside it, "
        "until then.",
    )


def every_load(card: GuestCard) -> tuple[str, ...]:
    """What holds for each load."""
    usual = f" Usual here: {_load(card.usual_load_kg, card)}." if card.usual_load_kg else ""
    limit = f"At most {_load(card.max_load_kg, card)} in the stove at once, what still lies in it counted."
    floor = air_text(card.clean_floor_pct)
    said = " (assumed; the manual decides)" if card.clean_floor_assumed else ""
    return (
        f"{limit}{usual} Dry wood only, and nothing but wood.",
        f"Air {air_text(100.0)} for about {number_text(card.usual_minutes)} minutes after each load, then to "
        f"{air_text(max(card.usual_air_pct, card.clean_floor_pct))}. Set a kitchen timer.",
        cautions.NEVER_BELOW_FLOOR.sentence.format(floor=floor, said=said),
        cautions.NEVER_COOL_BY_AIR.sentence,
    )


def for_the_night(card: GuestCard) -> tuple[str, ...]:
    """Bed, coals, ash."""
    return (
        f"Last wood in good time before bed (usual bed here {card.bed:%H:%M}); stay up until it burns well.",
        cautions.COALS_ALL_NIGHT.sentence,
        cautions.ASH_STAYS.sentence,
        cautions.NOTHING_NEAR.sentence,
    )


EXAMPLE_C, EXAMPLE_KG = (-4.0, 12.0, 9.0), 4.2
"""The weekend sheet's examples: outside, inside and the night's low, °C, and a load, kg. Invented."""

WEEKEND_FOOT = (
    "Copied in afterwards: p in the app, the same columns; Enter on an empty cell repeats the one above."
)


def lines_together(lines: Iterable[str]) -> str:
    """The owner's own lines in one paragraph, for where a line each has no room."""
    return " · ".join(lines)


def weekend_below() -> str:
    """How to fill in the weekend sheet."""
    boxes = "[ ] at the door", "[ ] warm"
    return f"Weekend of ___________  people _____  alarms tested: {'  '.join(map(unbroken, boxes))}"


def unbroken(words: str) -> str:
    """Words that no row's end may tear apart: a box from its word, or from itself."""
    return words.replace(" ", UNBROKEN)


def weekend_how(lever_reads: str, pieces_kg: tuple[tuple[str, float], ...], *, units: OwnUnits) -> str:
    """The words that go into its cells, its examples in the owner's units."""
    sizes = ", ".join(name for name, _ in pieces_kg)
    weighed = mass_text(EXAMPLE_KG, units=units)
    wood = f"2M 1L (sizes {sizes}) or {weighed}" if sizes else weighed
    outside, inside, low = (number_text(temperature_value(c, units=units)) for c in EXAMPLE_C)
    return (
        f"time 17:40 · outside {outside} · inside {inside} · wood {wood}, kindling for a cold start · air as "
        f"the lever reads, how far {lever_reads.upper()}: 1/4, 60 % · note: bed, woke, coals few, window "
        f"cracked, fire out, low {low}. Leave empty what nobody looked at."
    )


RECORD_COLUMNS = ("date", "what", "found", "wood since", "by")


def record_cells(rows: Iterable[RecordRow], *, units: OwnUnits) -> tuple[tuple[str, ...], ...]:
    """The upkeep record as rows of cells; alarm tests are many and all alike, and are left to the foot."""
    kinds = {"done": "", "looked": " (looked at)", "seen": " (seen)", "gone": " (gone)"}
    cells = []
    for row in rows:
        if row.kind == "tested":
            continue
        found = [row.finding]
        found += [f"deposit {millimetres_text(row.deposit_mm)}"] if row.deposit_mm is not None else []
        found += [f"good to {row.until:%Y-%m-%d}"] if row.until else []
        found += [f"photo {photo}" for photo in row.photos]
        wood = mass_text(row.kg_before, units=units) if row.kg_before is not None else ""
        said = "; ".join(part for part in found if part)
        cells.append((f"{row.on:%Y-%m-%d}", f"{row.what}{kinds.get(row.kind, '')}", said, wood, row.by))
    return tuple(cells)


def tests_said(rows: Iterable[RecordRow]) -> str:
    """How often both alarms were tested, and when last."""
    days = sorted({row.on for row in rows if row.kind == "tested"})
    if not days:
        return "No test of the alarms is recorded."
    times = "once" if len(days) == 1 else f"on {len(days)} days"
    return f"Smoke and CO alarm tested by their buttons {times}, last on {days[-1]:%Y-%m-%d}."


def _lever(card: GuestCard) -> str:
    reads = card.lever_reads.upper()
    other = "closed" if card.lever_reads == "open" else "open"
    return f"The air lever tells how far {reads} it is (not how far {other})."


def _load(kg: float | None, card: GuestCard) -> str:
    """A load as weighed, and about how many pieces that is."""
    if kg is None:
        return ""
    said = mass_text(kg, units=card.units)
    if not card.pieces_kg:
        return said
    name, count = _pieces(kg, card.pieces_kg)
    return f"{said} (about {count} {name})" if count else said


def _pieces(kg: float, pieces_kg: tuple[tuple[str, float], ...]) -> tuple[str, int]:
    """So many pieces of one size as come near a load and not above it, the largest size that does."""
    counts = [(name, each, int(kg / each + 1e-9)) for name, each in sorted(pieces_kg, key=lambda p: -p[1])]
    near = next((c for c in counts if kg - c[1] * c[2] <= NEAR * kg), None)
    name, _, count = near or min(counts, key=lambda c: kg - c[1] * c[2])
    return name, count
