"""Stays in sentences: the list, the season's page, this weekend in other years, the guest book."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from logbook.results.stays import Extreme, OtherYear, StayRow, StaysAnswer, ThisWeekendAnswer, YearPage
from logbook.setting import Setting, local_time
from logbook.wording.amounts import MONTHS, WEEKDAYS, day_text, mass_text, number_text, temperature_text

NONE_YET = "No stay is on record yet. A stay begins with the first line you write there."


def stays_text(answer: StaysAnswer, *, setting: Setting) -> tuple[str, ...]:
    """Every stay, the newest first, each with its guest-book lines set in below it."""
    if not answer.stays:
        return (NONE_YET,)
    rows = [count_text(len(answer.stays), "stay") + ", the newest first."]
    for stay in reversed(answer.stays):
        rows += stay_text(stay, setting=setting)
    return tuple(rows)


def stay_text(stay: StayRow, *, setting: Setting) -> list[str]:
    """One stay: when, who and what for; the figures; the guest book."""
    rows = [f"{when_text(stay, setting=setting)}. {who_text(stay)}{_purpose(stay)}"]
    rows.append("  " + figures_text(stay, setting=setting))
    rows += [f"  “{line}”" for line in stay.guest_book]
    return rows


def when_text(stay: StayRow, *, setting: Setting) -> str:
    """From when to when, the year once: "Fri 16 to Sun 18 Jan 2026"."""
    start, end = (local_time(at, setting.zone) for at in (stay.start, stay.end))
    to = f"{WEEKDAYS[end.weekday()]} {end.day} {MONTHS[end.month - 1]} {end.year}"
    if stay.going_on:
        return f"Since {day_text(stay.start, zone=setting.zone, year=True)}"
    if start.date() == end.date():
        return to
    begun = f"{WEEKDAYS[start.weekday()]} {start.day}"
    if (start.year, start.month) != (end.year, end.month):
        begun += f" {MONTHS[start.month - 1]}"
    if start.year != end.year:
        begun += f" {start.year}"
    return f"{begun} to {to}"


def figures_text(stay: StayRow, *, setting: Setting) -> str:
    """Nights, wood and the coldest dawn of a stay."""
    said = [count_text(stay.nights, "night"), wood_text(stay.wood_kg, stay.wood_kg_dry, setting=setting)]
    dawn = dawn_text(stay.coldest_inside, stay.coldest_outside, setting=setting, dated=False)
    return "; ".join([*said, f"coldest dawn {dawn}" if dawn else "no dawn read"]) + "."


def years_text(pages: Sequence[YearPage], *, setting: Setting) -> tuple[str, ...]:
    """Each season on a page, the newest first."""
    if not pages:
        return (NONE_YET,)
    rows: list[str] = []
    for page in reversed(pages):
        rows += ([""] if rows else []) + year_text(page, setting=setting)
    return tuple(rows)


def year_text(page: YearPage, *, setting: Setting) -> list[str]:
    """One season: its figures a line each, then its guest book."""
    zone = setting.zone
    last_day = page.ends - timedelta(days=1)
    rows = [
        f"Season {page.name}{', so far' if page.going_on else ''} ({page.begins.day} "
        f"{MONTHS[page.begins.month - 1]} {page.begins.year} to {last_day.day} "
        f"{MONTHS[last_day.month - 1]} {last_day.year})"
    ]
    if page.first_fire and page.last_fire:
        rows.append(f"  First fire    {day_text(page.first_fire, zone=zone, year=True)}")
        rows.append(f"  Last fire     {day_text(page.last_fire, zone=zone, year=True)}")
    else:
        rows.append("  No fire on record.")
    dawn = dawn_text(page.coldest_inside, page.coldest_outside, setting=setting, dated=True)
    rows.append(f"  Coldest dawn  {dawn or 'none read'}")
    rows.append(f"  Wood          {wood_text(page.wood_kg, page.wood_kg_dry, setting=setting)}"
                f", {count_text(page.burn_days, 'day')} with a fire")  # fmt: skip
    rows.append(
        f"  Nights        {page.nights} in {count_text(page.stays, 'stay')}, "
        f"{number_text(page.person_nights)} counted by person"
    )
    rows += [f"  {day_text(at, zone=zone)}: “{line}”" for at, line in page.guest_book]
    return rows


def this_weekend_text(answer: ThisWeekendAnswer, *, setting: Setting) -> tuple[str, ...]:
    """This weekend in other years, the newest first."""
    day = f"{answer.saturday.day} {MONTHS[answer.saturday.month - 1]}"
    if not answer.stays:
        return (f"No other year has a stay within a week of this weekend ({day}).",)
    rows = [f"This weekend ({day}) in other years:"]
    for other in answer.stays:
        rows.append(f"{other.year}{_off(other)}: {stay_text(other.stay, setting=setting)[0]}")
        rows += stay_text(other.stay, setting=setting)[1:]
    return tuple(rows)


def _off(other: OtherYear) -> str:
    if other.weeks_off == 0:
        return ""
    return ", the week before" if other.weeks_off < 0 else ", the week after"


def who_text(stay: StayRow) -> str:
    """Who was there: named, or how many, with what is assumed."""
    if stay.people:
        return ", ".join(stay.people) + "."
    people = f"{number_text(stay.head_count)} {'person' if stay.head_count == 1 else 'people'}"
    return f"{people}." if stay.head_count_said else f"{people} (assumed)."


def _purpose(stay: StayRow) -> str:
    return f" For: {stay.purpose}." if stay.purpose else ""


def wood_text(kg: float, dry_kg: float, *, setting: Setting) -> str:
    """Wood as weighed and dry, kg."""
    if kg == 0.0:
        return "no wood"
    return f"{mass_text(kg, units=setting.units)} of wood ({mass_text(dry_kg, units=setting.units)} dry)"


def dawn_text(inside: Extreme | None, outside: Extreme | None, *, setting: Setting, dated: bool) -> str:
    """The coldest dawn inside and outside; nothing where nobody read it."""
    said = []
    for found, where, decimals in ((inside, "inside", 1), (outside, "outside", 0)):
        if found is not None:
            text = f"{temperature_text(found.temperature_c, units=setting.units, decimals=decimals)} {where}"
            said.append(f"{text} ({day_text(found.at, zone=setting.zone)})" if dated else text)
    return ", ".join(said)


def count_text(number: int, one: str) -> str:
    """How many of something: "1 night", "3 nights"."""
    return f"{number} {one}" if number == 1 else f"{number} {one}s"
