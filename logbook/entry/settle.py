"""Units, sides and unlikely values settled: from parts of a line to fields of a record."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from logbook.entry.asking import Asker, enter_or
from logbook.entry.limits import (
    HEATER_W,
    LOAD_KG,
    celsius,
    checked_air,
    checked_c,
    checked_percent,
    checked_within,
    refused,
)
from logbook.entry.parts import USUAL_BOTTOMS, Parts, Said, position_of
from logbook.entry.tokens import number_text
from logbook.entry.understood import ENTER, Answer
from logbook.entry.unlikely import HOT_ROOM_C, MANY_TIMES, SWAP_GAP_K, unlikely
from logbook.records import MAIN_PLACE, Basis, Entry, Flag, Mark, Typed
from logbook.setting import Setting
from logbook.units import c_from_f, f_from_c, kg_from_lb, lb_from_kg

LIKELY_ROOM_C = (5.0, 35.0)
"""What a room is likely to be, °C: the other unit is offered only if it lands here. ASSUMED."""

RECENT = timedelta(hours=12)
"""How old the last readings may be to judge a new pair by. ASSUMED."""

LIKE_THE_LAST_K = 6.0
"""A reading this near the last one is no surprise, K. ASSUMED: a room moves no more between two lines."""


@dataclass(slots=True, kw_only=True)
class Settled:
    """Field values of the record to be, °C and kg, with what was typed for each."""

    values: dict[str, object] = field(default_factory=dict)
    places: list[tuple[str, float]] = field(default_factory=list)
    typed: list[Typed] = field(default_factory=list)
    flags: set[Flag] = field(default_factory=set)

    def keep(self, name: str, value: object, said: Said, unit: str = "") -> None:
        """Sets a field, and remembers how it was typed."""
        self.values[name] = value
        self.typed.append(Typed(name, said.text, unit or said.unit))


def settle(parts: Parts, asker: Asker, *, setting: Setting, now: datetime, always_open: bool) -> Settled:
    """Settles everything but the time and the notes.

    Args:
        parts: The line's parts.
        asker: Answers had, and questions found.
        setting: The owner's units, stove and last readings.
        now: The clock, to judge how recent the last readings are.
        always_open: True for plans, where a position is always per cent open.

    Raises:
        RefusedError: for values that can't be.
    """
    done = Settled()
    _temperatures(parts, asker, done, setting=setting, now=now)
    _wood(parts, asker, done, setting=setting)
    _air(parts, asker, done, setting=setting, always_open=always_open)
    _simple(parts, done, setting=setting)
    _order_of_lows(done, parts)
    return done


def _temperatures(parts: Parts, asker: Asker, done: Settled, *, setting: Setting, now: datetime) -> None:
    own = setting.units.temperature
    _fraction_alone(parts, asker, setting=setting)
    if parts.first is not None and parts.second is not None:
        _pair(parts.first, parts.second, parts.pair_text, asker, done, setting=setting, now=now)
    if parts.lone is not None:
        name = "outdoor_c" if parts.lone.value < 0 else "indoor_c"
        _one(name, parts.lone, asker, done, setting=setting)
    for name, said in parts.temperatures:
        if said.extra:
            done.places.append((said.extra, checked_c(name, said.value, said.unit or own, said.span)))
            done.typed.append(Typed(f"indoor_c@{said.extra}", said.text, said.unit or own))
        else:
            _one(name, said, asker, done, setting=setting)


def _fraction_alone(parts: Parts, asker: Asker, *, setting: Setting) -> None:
    """Settles a fraction that may be the lever or two readings: asked unless the room can't be that cold."""
    if parts.fraction is None:
        return
    top, bottom = parts.fraction
    unit, known = setting.units.temperature, setting.last_indoor_c
    air = f"air {top.text}"
    readings = f"out {number_text(top.value)} °{unit}, in {number_text(bottom.value)} °{unit}"
    at_the_door = parts.simple.get("mark", ("",))[0] is Mark.ARRIVED
    if bottom.value not in USUAL_BOTTOMS or at_the_door:  # a stove nobody has lit yet has no air to tell
        text = f"{top.text}: Enter means {readings}, a means {air}."
        is_air = asker.ask("fraction", text, enter_or("a", enter=readings, other=air)) == "a"
    elif known is not None and abs(celsius(bottom.value, unit) - known) < LIKE_THE_LAST_K:
        text = f"{top.text}: Enter means {air}, t means {readings}."
        is_air = asker.ask("fraction", text, enter_or("t", enter=air, other=readings)) == ENTER
    else:
        is_air = True
    if is_air:
        parts.air = position_of(top, bottom)
    else:
        parts.first, parts.second, parts.pair_text = top, bottom, top.text
    parts.fraction = None


def _pair(
    first: Said, second: Said, text: str, asker: Asker, done: Settled, *, setting: Setting, now: datetime
) -> None:
    own = setting.units.temperature
    first_unit, second_unit = first.unit or second.unit, second.unit or first.unit
    if not second_unit:
        second_unit = _unit_of(second, asker, setting=setting)
        first_unit = first_unit or second_unit
    out_c, in_c = celsius(first.value, first_unit or own), celsius(second.value, second_unit or own)
    if _looks_swapped(out_c, in_c, setting=setting, now=now):
        key = asker.ask(
            "swapped",
            f"{text}: out {number_text(first.value)} °{first_unit or own}, "
            f"in {number_text(second.value)} °{second_unit or own}? Enter swaps them, k keeps.",
            enter_or("k", enter="swapped", other="as typed"),
        )
        if key == ENTER:
            first, second, first_unit, second_unit = second, first, second_unit, first_unit
        else:
            done.flags.add(Flag.ODD_VALUE)
    for name, said, unit in (("outdoor_c", first, first_unit), ("indoor_c", second, second_unit)):
        shown = Said(value=said.value, unit=unit or own, text=text, span=said.span)
        done.keep(name, checked_c(name, said.value, unit or own, said.span), shown)


def _looks_swapped(out_c: float, in_c: float, *, setting: Setting, now: datetime) -> bool:
    if out_c - in_c > SWAP_GAP_K:
        return True
    last_in, last_out, last_at = setting.last_indoor_c, setting.last_outdoor_c, setting.last_reading_at
    if out_c <= in_c or last_in is None or last_out is None or last_at is None or now - last_at > RECENT:
        return False
    as_typed = abs(in_c - last_in) + abs(out_c - last_out)
    swapped = abs(out_c - last_in) + abs(in_c - last_out)
    return as_typed - swapped > SWAP_GAP_K


def _one(name: str, said: Said, asker: Asker, done: Settled, *, setting: Setting) -> None:
    unit = said.unit
    if not unit and name == "indoor_c":
        unit = _unit_of(said, asker, setting=setting)
    unit = unit or setting.units.temperature
    done.keep(name, checked_c(name, said.value, unit, said.span), said, unit)


def _unit_of(said: Said, asker: Asker, *, setting: Setting) -> str:
    """The unit of a bare inside number; asked about when only the other unit makes it a likely room."""
    own = setting.units.temperature
    number = number_text(said.value)
    if own == "C" and said.value > HOT_ROOM_C and _is_likely(c_from_f(said.value)):
        other = f"{number} °F ({number_text(round(c_from_f(said.value), 1))} °C)"
        text = f"{number} inside is {number} °C. Enter means {other}, c keeps {number} °C."
        answers = enter_or("c", enter=other, other=f"{number} °C")
        return "F" if asker.ask("unit", text, answers) == ENTER else "C"
    known = setting.last_indoor_c
    if own == "F" and _is_likely(said.value) and known is not None and abs(known - said.value) < 8.0:
        other = f"{number} °C ({number_text(round(f_from_c(said.value), 1))} °F)"
        text = f"{number} inside is {number} °F. Enter means {other}, f keeps {number} °F."
        return (
            "C" if asker.ask("unit", text, enter_or("f", enter=other, other=f"{number} °F")) == ENTER else "F"
        )
    return own


def _is_likely(room_c: float) -> bool:
    return LIKELY_ROOM_C[0] <= room_c <= LIKELY_ROOM_C[1]


def _wood(parts: Parts, asker: Asker, done: Settled, *, setting: Setting) -> None:
    if parts.same is not None:
        _same(parts.same, done, setting=setting)
    own = setting.units.mass
    weights = dict(setting.weights_kg)
    if parts.pieces:
        counts: dict[str, float] = {}
        for said in parts.pieces:
            counts[said.unit] = counts.get(said.unit, 0.0) + said.value
        text = " ".join(said.text for said in parts.pieces)
        joined = Said(value=0.0, unit="", text=_once(parts.pieces, text), span=parts.pieces[0].span)
        done.values["load_kg"] = round(sum(n * weights[name] for name, n in counts.items()), 4)
        # None of a size is no part of the load: "3M 0L" is three M. Of nothing but noughts _load_size tells.
        if there := [f"{number_text(n)} {name}" for name, n in counts.items() if n > 0.0]:
            done.keep("pieces", " ".join(there), joined)
    if parts.masses:
        units = [said.unit or own for said in parts.masses]
        masses = [
            kg_from_lb(said.value) if unit == "lb" else said.value
            for said, unit in zip(parts.masses, units, strict=True)
        ]
        text = " ".join(said.text for said in parts.masses)
        said = Said(value=sum(masses), unit=units[0], text=text, span=parts.masses[0].span)
        done.keep("load_kg", sum(masses), said)
    if parts.masses or parts.pieces:
        span = (parts.masses or parts.pieces)[0].span
        _load_size(parts, asker, done, setting=setting, span=span)


def _once(pieces: list[Said], text: str) -> str:
    """The text of a compact "3m1l" once, although it holds two counts."""
    spans = {said.span for said in pieces}
    return text if len(spans) == len(pieces) else " ".join(dict.fromkeys(said.text for said in pieces))


def _same(said: Said, done: Settled, *, setting: Setting) -> None:
    last = setting.last_load
    if last is None or last.load_kg is None:
        raise refused("There is no load yet to repeat.", "Type it, for example 4 kg air 1/4.", said.span)
    for name in ("load_kg", "pieces", "species", "moisture_pct", "moisture_basis", "air_open_pct"):
        value = getattr(last, name)
        if value is not None:
            done.values[name] = value
    done.typed.append(Typed("load_kg", said.text, "same"))
    if setting.max_load_kg is not None and last.load_kg > setting.max_load_kg:
        done.flags.add(Flag.OVER_LIMIT)


def mass_said(kg: float, unit: str) -> str:
    """A mass in the owner's unit, for a question."""
    return f"{lb_from_kg(kg) if unit == 'lb' else kg:.1f} {unit}"


def _load_size(parts: Parts, asker: Asker, done: Settled, *, setting: Setting, span: tuple[int, int]) -> None:
    kg = done.values["load_kg"]
    assert isinstance(kg, float | int), "a load is a number by now"
    if kg <= 0.0 or mass_said(kg, setting.units.mass).startswith("0.0"):  # said as no wood at all
        unit = setting.units.mass
        shown = "0 kg" if kg == 0.0 else mass_said(kg, unit).replace("-", "−")
        raise refused(f"A load of {shown} is no load.", "Leave it out, or type what went in.", span)
    unit = setting.units.mass
    largest = setting.largest_load_kg or setting.max_load_kg
    limit = setting.max_load_kg
    if largest is not None and kg > MANY_TIMES * largest and (limit is None or kg > limit):
        kg = _many_times(kg, largest, parts, asker, done, setting=setting)
    elif limit is not None and kg > limit + 1e-9:
        asker.ask(
            "over_limit",
            f"{mass_said(kg, unit)} is over your manual's {mass_said(limit, unit)}. "
            "Enter keeps it as what happened.",
            (Answer(key=ENTER, means="kept"),),
        )
    if limit is not None and kg > limit + 1e-9:
        done.flags.add(Flag.OVER_LIMIT)
    done.values["load_kg"] = checked_within("A load", kg, LOAD_KG, "kg", span)


def _many_times(
    kg: float, largest: float, parts: Parts, asker: Asker, done: Settled, *, setting: Setting
) -> float:
    said = parts.masses[0] if len(parts.masses) == 1 else None
    unit = (said.unit if said else "") or setting.units.mass
    shown = f"{number_text(said.value)} {unit}" if said else mass_said(kg, unit)
    whose = "your largest of late" if setting.largest_load_kg else "your manual's load"
    start = f"{shown} is {kg / largest:.0f} times {whose}."
    if said is not None and "." not in said.text and "," not in said.text and kg / 10.0 <= largest:
        tenth = f"{number_text(said.value / 10.0)} {unit}"
        key = asker.ask(
            "many_times",
            f"{start} Enter {tenth}, k keeps {shown}.",
            enter_or("k", enter=tenth, other=shown),
            as_typed="k",
        )
        if key == ENTER:
            return kg / 10.0
    else:
        asker.ask(
            "many_times", f"{start} Enter keeps it as what happened.", (Answer(key=ENTER, means=shown),)
        )
    done.flags.add(Flag.ODD_VALUE)
    return kg


def _air(parts: Parts, asker: Asker, done: Settled, *, setting: Setting, always_open: bool) -> None:
    if (said := parts.air) is not None:
        pct = checked_air("air", said.value, said.text, said.span)
        reads = "open" if always_open else setting.air_lever_reads
        way = said.extra or reads
        if not way and abs(pct - 50.0) > 0.5:
            key = asker.ask(
                "lever",
                f"{_position(said)} on your lever: o open, c closed? Kept from now on.",
                (Answer(key="o", means="open"), Answer(key="c", means="closed")),
                assumed="o",
                default=None,
            )
            way = "closed" if key == "c" else "open"
            if asker.typed("lever") in {"o", "c"}:
                asker.learned.append(("air_lever_reads", way))
        done.keep("air_open_pct", 100.0 - pct if way == "closed" else pct, said, way or "open")
    if (said := parts.damper) is not None:
        pct = checked_air("damper", said.value, said.text, said.span)
        closed = said.extra == "closed"
        done.keep(
            "flue_damper_open_pct", 100.0 - pct if closed else pct, said, "closed" if closed else "open"
        )


def _position(said: Said) -> str:
    return said.text.lower().removeprefix("air").strip()


def _simple(parts: Parts, done: Settled, *, setting: Setting) -> None:
    for name, (value, unit, text, span) in parts.simple.items():
        kept: object = value
        if name == "rh_pct" and isinstance(value, float):
            kept = checked_percent("Humidity of", value, span)
        elif name == "moisture_pct" and isinstance(value, float):
            basis = str(parts.simple["moisture_basis"][0]) if "moisture_basis" in parts.simple else ""
            limit = 300.0 if (basis or setting.moisture_basis) == Basis.DRY else 80.0
            kept = checked_within("Moisture", value, (0.0, limit), "%", span)
        elif name == "moisture_basis":
            kept = Basis(str(value))
        elif name == "other_heat_w" and isinstance(value, float):
            kept = checked_within("A heater", value, HEATER_W, "W", span)
        done.keep(name, kept, Said(value=0.0, unit=unit, text=text, span=span))


def _order_of_lows(done: Settled, parts: Parts) -> None:
    low, high = done.values.get("low_c"), done.values.get("high_c")
    if isinstance(low, float) and isinstance(high, float) and low > high:
        said = next(said for name, said in parts.temperatures if name == "low_c")
        raise refused(
            f"A low of {number_text(round(low, 1))} °C above a high of {number_text(round(high, 1))} °C "
            "can't be.",
            "Type the lower one after low: low 9 high 24.",
            said.span,
        )


def main_place(done: Settled) -> tuple[str, list[tuple[str, float]]]:
    """The place the main record speaks of, and the other places with their temperatures.

    The main thermometer comes first; without it the first named place is the record's own.
    """
    if "indoor_c" in done.values or not done.places:
        return MAIN_PLACE, done.places
    place, value = done.places[0]
    done.values["indoor_c"] = value
    inner = f"indoor_c@{place}"
    done.typed = [replace(typed, name="indoor_c") if typed.name == inner else typed for typed in done.typed]
    return place, done.places[1:]


ASKED_BY = {"indoor_c": ("unit",), "swapped": ("swapped",), "load_kg": ("many_times", "over_limit")}
"""Questions that have been about a value already, by its field."""


def asked_about(entry: Entry, asker: Asker, *, setting: Setting) -> Entry:
    """The entry flagged where a value of it is seldom true, and the question asked that was not asked yet."""
    unit = setting.units.temperature
    for odd in unlikely(entry, max_load_kg=setting.max_load_kg, unit=unit):
        if not any(asker.has_asked(kind) for kind in ASKED_BY.get(odd.field, ())):
            text = f"{odd.text[:1].upper()}{odd.text[1:]} Enter keeps it as read, and does not learn from it."
            asker.ask(f"odd {odd.field} {entry.place}".strip(), text, (Answer(key=ENTER, means="kept"),))
        entry = replace(entry, flags=entry.flags | {Flag.ODD_VALUE})
    return entry
