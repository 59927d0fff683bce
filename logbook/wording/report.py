"""A stay and a season told in words: titles, sentences, and the rows of their tables."""

from __future__ import annotations

from datetime import datetime, timedelta

from logbook.results.report import (
    Extremes,
    LoadRow,
    NightsCount,
    NightTold,
    SeasonReport,
    StayReport,
)
from logbook.results.stays import Extreme, StayRow
from logbook.setting import Setting, local_time
from logbook.wording.amounts import (
    MONTHS,
    WEEKDAYS,
    air_text,
    day_text,
    mass_text,
    number_text,
    pieces_text,
    reading_text,
    span_text,
    temperature_text,
    time_text,
)
from logbook.wording.bulk import small_text
from logbook.wording.stays import count_text, dawn_text, when_text, who_text, wood_text
from logbook.wording.weather import room_text

LOAD_COLUMNS = ("when", "pieces", "weighed", "dry", "air", "after", "air then")
NIGHT_COLUMNS = ("night of", "wood at bed", "air", "said at bed", "woken to", "outside low", "")
MONTH_COLUMNS = ("month", "stays", "nights", "days with a fire", "wood", "coldest outside", "degree-days")
WRITTEN_COLUMNS = ("when", "what")
RECORD_COLUMNS = ("record", "", "when, or when it was read")
WORK_COLUMNS = ("since", "what", "cost", "effect", "paid for itself in")

UNBROKEN = "\u00a0"
"""A space at which no line is broken."""

HOW_TO_RECKON = "nightload nights reckons them, once; after that they stand here. Or: --reckon"


# A stay


def stay_title(report: StayReport, *, setting: Setting) -> tuple[str, str]:
    """Title and the line below it: where and when; who was there and what for."""
    when = when_text(report.stay, setting=setting)
    title = f"{report.place}: {when}" if report.place else when
    purpose = f" For: {report.stay.purpose}." if report.stay.purpose else ""
    going_on = " The stay goes on: so far." if report.stay.going_on else ""
    return title, f"{who_text(report.stay)}{purpose}{going_on}"


def burned_text(report: StayReport, *, setting: Setting) -> str:
    """Wood of the stay in a sentence."""
    stay = report.stay
    if not report.loads:
        return "No wood was burned, by what is written."
    nights = (
        f", {mass_text(stay.wood_kg / stay.nights, units=setting.units)} to a night" if stay.nights else ""
    )
    kinds = _kinds(report.loads)
    of = f" of {next(iter(kinds))}" if len(kinds) == 1 and kinds != {"mixed"} else ""
    return (
        f"{wood_text(stay.wood_kg, stay.wood_kg_dry, setting=setting)} in "
        f"{count_text(len(report.loads), 'load')}{of}{nights}."
    )


def _kinds(loads: tuple[LoadRow, ...]) -> set[str]:
    return {load.species for load in loads if load.species}


def load_cells(loads: tuple[LoadRow, ...], *, setting: Setting) -> tuple[tuple[str, ...], ...]:
    """Loads as rows of cells; the kind of wood only where it is not the same for all."""
    units = setting.units
    kinds_differ = len(_kinds(loads)) > 1
    return tuple(
        (
            _short_when(load.at, setting=setting),
            _what(load, with_kind=kinds_differ),
            mass_text(load.kg, units=units),
            mass_text(load.kg_dry, units=units),
            _air(load.air_open_pct),
            "" if load.then_minutes is None else f"{number_text(load.then_minutes)} min",
            _air(load.then_open_pct),
        )
        for load in loads
    )


def _short_when(at: datetime, *, setting: Setting) -> str:
    """A moment within a stay: "Fri 16 21:40"."""
    local = local_time(at, setting.zone)
    return f"{WEEKDAYS[local.weekday()]} {local.day} {local:%H:%M}"


def _what(load: LoadRow, *, with_kind: bool) -> str:
    parts = [pieces_text(load.pieces)] if load.pieces else []
    parts += ["kindling"] if load.kindling else []
    parts += [load.species] if with_kind and load.species else []
    return ", ".join(parts)


def _air(open_pct: float | None) -> str:
    """A lever position both ways, to be broken only before the bracket."""
    if open_pct is None:
        return ""
    return " (".join(half.replace(" ", UNBROKEN) for half in air_text(open_pct).split(" ("))


def band_text(counted: NightsCount, *, band_c: tuple[float, float], assumed: bool, setting: Setting) -> str:
    """How many wakings lay in the wanted band."""
    band = span_text(*band_c, units=setting.units)
    wanted = f"the band of {band}" + (" (assumed, nothing is described)" if assumed else "")
    if not counted.slept:
        return "No night was slept there."
    if not counted.read:
        return f"No temperature was read on waking in {count_text(counted.slept, 'night')}."
    outside = [f"{counted.below} below it" if counted.below else "", f"{counted.above} above it"]
    beside = ", ".join(part for part in (outside[0], outside[1] if counted.above else "") if part)
    unread = counted.slept - counted.read
    missing = f" {count_text(unread, 'night')} had no reading on waking." if unread > 0 else ""
    return (
        f"{counted.in_band} of {count_text(counted.read, 'waking')} read lay in {wanted}"
        f"{f', {beside}' if beside else ''}.{missing}"
    )


def forecasts_text(counted: NightsCount) -> str:
    """How many forecasts held, and how many were not reckoned for this page."""
    said = []
    if counted.scored:
        said.append(
            f"{counted.held} of {count_text(counted.scored, 'forecast')} held: the waking lay in the range "
            "said at bed, which 9 in 10 should."
        )
    if counted.not_reckoned:
        left = count_text(counted.not_reckoned, "night")
        what = "What was said at bed" if not counted.scored else "The rest"
        said.append(f"{what} was not reckoned here for {left}. {HOW_TO_RECKON}.")
    return " ".join(said)


def night_cells(nights: tuple[NightTold, ...], *, setting: Setting) -> tuple[tuple[str, ...], ...]:
    """Nights as rows of cells: what was said against what came."""
    return tuple(_night(night, setting=setting) for night in nights)


def _night(night: NightTold, *, setting: Setting) -> tuple[str, ...]:
    units, said = setting.units, night.said_at_wake_c
    later = f" + {night.loads_after} later" if night.loads_after else ""
    held = {True: "held", False: "missed", None: ""}[night.held]
    return (
        f"{WEEKDAYS[night.evening.weekday()]} {night.evening.day} {MONTHS[night.evening.month - 1]}",
        (mass_text(night.load_kg, units=units) if night.load_kg else "no wood") + later,
        _air(night.air_open_pct),
        "not reckoned" if said is None else span_text(said.p05, said.p95, units=units),
        "not read" if night.woke_c is None else reading_text(night.woke_c, units=units, decimals=1),
        _outside_low(night, setting=setting),
        held,
    )


def _outside_low(night: NightTold, *, setting: Setting) -> str:
    if night.outdoor_low_c is None:
        return ""
    low = temperature_text(night.outdoor_low_c, units=setting.units, decimals=0)
    return low if night.outdoor_low_read else f"{low} (forecast)"


def extremes_text(found: Extremes, *, setting: Setting) -> str:
    """Lowest and highest inside, coldest outside, each with when."""
    said = []
    if found.inside_lowest and found.inside_highest:
        low, high = (_when(one, setting, 1) for one in (found.inside_lowest, found.inside_highest))
        said.append(f"Inside from {low} to {high}.")
    if found.outside_lowest:
        said.append(f"Coldest outside {_when(found.outside_lowest, setting, 0)}.")
    return " ".join(said) or "No temperature was read."


def _when(found: Extreme, setting: Setting, decimals: int) -> str:
    at = f"{day_text(found.at, zone=setting.zone)} {time_text(found.at, zone=setting.zone)}"
    return f"{reading_text(found.temperature_c, units=setting.units, decimals=decimals)} (read {at})"


def stay_chart_text(report: StayReport, *, setting: Setting) -> str:
    """What the chart of a stay shows, in a sentence, with its signs."""
    band = span_text(*report.band_c, units=setting.units)
    inside = [read.temperature_c for read in report.inside]
    low, high = report.band_c
    share = sum(low <= c <= high for c in inside)
    return (
        f"{share} of {count_text(len(inside), 'reading')} inside lay in the band of {band}. "
        f"In °{setting.units.temperature}: * inside, o outside, joined between readings; level lines "
        "the band."
    )


def written_cells(report: StayReport, *, setting: Setting) -> tuple[tuple[str, ...], ...]:
    """Matters and notes by time, as rows of cells."""
    rows = [(matter.at, matter.text) for matter in report.matters]
    rows += [(at, f"“{note}”") for at, note in report.notes]
    rows.sort(key=lambda row: row[0])
    return tuple((_short_when(at, setting=setting), text) for at, text in rows)


# A season


def season_title(report: SeasonReport) -> tuple[str, str]:
    """Title and the line below it."""
    page = report.page
    last = page.ends - timedelta(days=1)
    title = f"{report.place}: season {page.name}" if report.place else f"Season {page.name}"
    so_far = ", so far" if page.going_on else ""
    return title, (
        f"{page.begins.day} {MONTHS[page.begins.month - 1]} {page.begins.year} to {last.day} "
        f"{MONTHS[last.month - 1]} {last.year}{so_far}"
    )


def season_cells(report: SeasonReport, *, setting: Setting) -> tuple[tuple[str, ...], ...]:
    """The season's figures, a line each."""
    page, zone = report.page, setting.zone
    rows = []
    if page.first_fire and page.last_fire:
        rows.append(("First fire", day_text(page.first_fire, zone=zone, year=True)))
        rows.append(("Last fire", day_text(page.last_fire, zone=zone, year=True)))
    else:
        rows.append(("Fires", "none on record"))
    rows.append(
        (
            "Stays and nights",
            f"{count_text(page.stays, 'stay')}, {count_text(page.nights, 'night')}, "
            f"{number_text(page.person_nights)} counted by person",
        )
    )
    wood = wood_text(page.wood_kg, page.wood_kg_dry, setting=setting)
    wood += f", {count_text(page.burn_days, 'day')} with a fire"
    rows.append(("Wood", wood))
    if report.household is not None:
        found = report.household
        low, mid, high = (small_text(n) for n in (found.amount.p05, found.amount.p50, found.amount.p95))
        spread = "" if low == high else f" ({low} to {high})"
        rows.append(("", f"{mid} {found.word}{spread}, as your newest stack is measured"))
    dawn = dawn_text(page.coldest_inside, page.coldest_outside, setting=setting, dated=True)
    rows.append(("Coldest dawn", dawn or "none read"))
    rows.append(("Degree-days", degrees_text(report, setting=setting)))
    return tuple(rows)


def degrees_text(report: SeasonReport, *, setting: Setting) -> str:
    """Degree-days and degree-hours over the days known, with how many those are."""
    found = report.degrees
    if found is None:
        return (
            "no day known: it takes a day written as it was (weather was 16 jan -9 -2), or readings outside "
            "at dawn and in the afternoon"
        )
    base = temperature_text(found.base_c, units=setting.units)
    inside = room_text(found.inside_c, units=setting.units)
    fahrenheit = setting.units.temperature == "F"
    days = found.degree_days_65f_k * 1.8 if fahrenheit else found.degree_days_k
    hours = found.degree_hours_k * (1.8 if fahrenheit else 1.0)
    below = "65 °F" if fahrenheit else base
    unit = f"°{setting.units.temperature}"
    return (
        f"{number_text(days)} {unit}·days below {below} and {number_text(hours)} {unit}·hours below "
        f"{inside}, "
        f"over the {found.days} of {count_text(found.of_days, 'day')} that are known"
    )


def month_cells(report: SeasonReport, *, setting: Setting) -> tuple[tuple[str, ...], ...]:
    """Months as rows of cells; a month without anything is left out."""
    rows = []
    for month in report.months:
        if not (month.stays or month.nights or month.burn_days or month.days_known):
            continue
        cold = month.coldest_outside_c
        degrees = ""
        fahrenheit = setting.units.temperature == "F"  # below 65 °F, by the mean, as in the season's row
        known = month.degree_days_65f_k if fahrenheit else month.degree_days_k
        if known is not None:
            factor = 1.8 if fahrenheit else 1.0
            degrees = f"{number_text(known * factor)} in {count_text(month.days_known, 'day')}"
        rows.append(
            (
                f"{MONTHS[month.month - 1]} {month.year}",
                str(month.stays),
                str(month.nights),
                str(month.burn_days),
                mass_text(month.wood_kg, units=setting.units),
                "" if cold is None else temperature_text(cold, units=setting.units, decimals=0),
                degrees,
            )
        )
    return tuple(rows)


def stay_bar(stay: StayRow, *, setting: Setting) -> tuple[str, float, str]:
    """A stay as a bar: its day, its wood, its words."""
    wood = mass_text(stay.wood_kg, units=setting.units)
    return (
        day_text(stay.start, zone=setting.zone),
        stay.wood_kg,
        f"{wood}, {count_text(stay.nights, 'night')}",
    )


def bars_text(report: SeasonReport, *, setting: Setting) -> str:
    """What the bars show, in a sentence."""
    most = report.records.most_wood
    if most is None:
        return "No wood was burned in these stays, by what is written."
    stays = count_text(len(report.stays), "stay")
    mean = report.page.wood_kg / len(report.stays)
    return (
        f"The stay of {day_text(most.start, zone=setting.zone)} burned most: "
        f"{mass_text(most.wood_kg, units=setting.units)}; the mean of {stays} is "
        f"{mass_text(mean, units=setting.units)}."
    )


def wakings_text(report: SeasonReport, *, setting: Setting, charted: bool) -> str:
    """What the wakings come to, in a sentence; with the signs of their chart, where one is drawn."""
    said = band_text(report.counted, band_c=report.band_c, assumed=report.band_assumed, setting=setting)
    signs = f" In °{setting.units.temperature}: o a waking; level lines the band." if charted else ""
    return f"{said}{signs}"


def record_cells(report: SeasonReport, *, setting: Setting) -> tuple[tuple[str, ...], ...]:
    """Records as rows of cells."""
    units, zone, found = setting.units, setting.zone, report.records
    rows = []
    ends = found.extremes
    for name, one, decimals in (
        ("Warmest inside", ends.inside_highest, 1),
        ("Coldest inside", ends.inside_lowest, 1),
        ("Coldest outside", ends.outside_lowest, 0),
        ("Warmest outside", ends.outside_highest, 0),
    ):
        if one is not None:
            at = f"{day_text(one.at, zone=zone)} {time_text(one.at, zone=zone)}"
            rows.append((name, reading_text(one.temperature_c, units=units, decimals=decimals), at))
    if found.biggest_load is not None:
        laid_in, kg = found.biggest_load
        when = f"{day_text(laid_in, zone=zone)} {time_text(laid_in, zone=zone)}"
        rows.append(("Biggest load", mass_text(kg, units=units), when))
    if found.most_wood is not None:
        when = day_text(found.most_wood.start, zone=zone)
        rows.append(("Most wood in a stay", mass_text(found.most_wood.wood_kg, units=units), when))
    if found.longest is not None:
        when = day_text(found.longest.start, zone=zone)
        rows.append(("Longest stay", count_text(found.longest.nights, "night"), when))
    return tuple(rows)


def guest_book_rows(report: SeasonReport, *, setting: Setting) -> tuple[str, ...]:
    """The season's lines of the guest book, each with its day."""
    return tuple(f"{day_text(at, zone=setting.zone)}: “{line}”" for at, line in report.page.guest_book)


def nothing_done_text(what: str) -> str:
    """Nothing of a kind is on record for the span told."""
    return f"No {what} is on record for this time."
