"""Cabin and stove in sentences: how it cools, what it loses, the stove's limits, what another value does."""

from __future__ import annotations

from datetime import datetime, timedelta

from logbook.records import Description, OwnUnits
from logbook.results.night import FitAnswer, Range
from logbook.wording.amounts import air_text, mass_text, number_text, span_text, temperature_text, time_text


def loss_text(found: Range, *, units: OwnUnits, likely: bool = True) -> str:
    """A heat loss: "78–96 W per °C, likely 86"."""
    scale = 1 / 1.8 if units.temperature == "F" else 1.0
    low, mid, high = (number_text(x * scale) for x in (found.p05, found.p50, found.p95))
    said = f"{low}–{high} W per °{units.temperature}"
    return f"{said}, likely {mid}" if likely else said


def loses_text(fit: FitAnswer, *, units: OwnUnits, narrowed: str = "") -> str:
    """The heat loss with what it rests on."""
    if fit.heat_loss_w_per_k is None:
        return f"Heat loss can't be told yet. {dict(fit.cannot_tell).get('heat_loss_w_per_k', '')}".strip()
    return f"{loss_text(fit.heat_loss_w_per_k, units=units)}{narrowed}."


def slows_text(fit: FitAnswer) -> str:
    """Time constant and the stove's share."""
    said = []
    if fit.time_constant_h is not None:
        low, mid, high = (
            number_text(x)
            for x in (fit.time_constant_h.p05, fit.time_constant_h.p50, fit.time_constant_h.p95)
        )
        said.append(f"Time constant {low}–{high} h, likely {mid}.")
    if fit.stove_efficiency is not None:
        low, high = (number_text(100 * x) for x in (fit.stove_efficiency.p05, fit.stove_efficiency.p95))
        said.append(f"Stove: {low}–{high} % of the wood's heat.")
    return " ".join(said) or "Neither the time constant nor the stove can be told yet."


def rests_text(fit: FitAnswer) -> str:
    """What the figures rest on."""
    if fit.from_description_only:
        return "The description alone. A night with no fire narrows it most."
    stays = "the last stay" if fit.stays == 1 else f"the last {fit.stays} stays"
    return f"{fit.readings} readings of {stays}, with loads, air and weather."


def narrowed_text(described: Range | None, first: Range | None, now: Range | None, *, units: OwnUnits) -> str:
    """How the range of the heat loss narrowed: from the description, after the first stay, now."""
    scale = 1 / 1.8 if units.temperature == "F" else 1.0
    parts = [
        f"{number_text(found.p05 * scale)}–{number_text(found.p95 * scale)} {word}"
        for word, found in (("by description", described), ("after one stay", first), ("now", now))
        if found is not None
    ]
    return f"{', '.join(parts)} (W per °{units.temperature})." if len(parts) > 1 else ""


def cools_text(
    *, from_c: float, outdoor_c: float, to_c: float, until: Range | None, end: Range, start: datetime,
    hours: float, zone: str, units: OwnUnits,
) -> str:  # fmt: skip
    """ "Stove cold, −7 °C out, 18 °C at 22:30: down to 10 °C by 00:30 to 02:10."""
    degrees = [temperature_text(c, units=units, decimals=0) for c in (from_c, outdoor_c, to_c)]
    lead = f"Stove cold, {degrees[1]} out, {degrees[0]} at {time_text(start, zone=zone)}"
    if until is not None:
        first, last = (time_text(start + timedelta(hours=h), zone=zone) for h in (until.p05, until.p95))
        return f"{lead}: down to {degrees[2]} by {first} to {last}."
    at = time_text(start + timedelta(hours=hours), zone=zone)
    return f"{lead}: {span_text(end.p05, end.p95, units=units)} at {at}."


def stove_text(description: Description, *, most_kg: float | None) -> str:
    """The stove's limits: "Limit 8.0 kg, most put in 6.0 kg. Least air 1/4 open (3/4 closed)"."""
    stove, units = description.stove, description.units
    most = f"most put in {mass_text(most_kg, units=units)}" if most_kg else "nothing burned yet"
    assumed = " (assumed)" if stove.clean_floor_assumed else ""
    return (
        f"Limit {mass_text(stove.max_load_kg, units=units)}, {most}. "
        f"Least air {air_text(stove.clean_floor_open_pct)}{assumed}."
    )


def change_span_text(found: Range) -> str:
    """A change in per cent as its range alone: "4 to 17 % less", "11 % less to 2 % more"."""
    ends = sorted((round(found.p05), round(found.p95)))
    if ends[1] <= 0:
        return f"{-ends[1]} to {-ends[0]} % less"
    if ends[0] >= 0:
        return f"{ends[0]} to {ends[1]} % more"
    return f"{-ends[0]} % less to {ends[1]} % more"


def effect_text(before: Range, after: Range, *, units: OwnUnits) -> str:
    """What a change of the description does to what is believed before any reading."""
    was, becomes = (loss_text(r, units=units) for r in (before, after))
    if was == becomes:
        return "Heat loss by the description alone: as before."
    return f"Heat loss by the description alone: {was} before, {becomes} then."
