"""Reports in words: nights counted, forecasts that held, degree-days, the tables' cells."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from logbook.records import OwnUnits
from logbook.results.night import Range
from logbook.results.report import Extremes, LoadRow, NightsCount, NightTold
from logbook.results.stays import Extreme
from logbook.setting import Setting
from logbook.wording.report import (
    band_text,
    extremes_text,
    forecasts_text,
    load_cells,
    night_cells,
)

SETTING = Setting(zone="Etc/GMT-1")
FAHRENHEIT = replace(SETTING, units=OwnUnits(temperature="F", mass="lb"))
BAND = (16.0, 22.0)
BED = datetime(2026, 1, 16, 21, 30, tzinfo=UTC)
NONE = NightsCount(slept=0, read=0, in_band=0, below=0, above=0, held=0, scored=0, not_reckoned=0)


def band(counted: NightsCount, *, assumed: bool = False, setting: Setting = SETTING) -> str:
    return band_text(counted, band_c=BAND, assumed=assumed, setting=setting)


def test_nights_in_the_band():
    counted = replace(NONE, slept=8, read=7, in_band=4, below=2, above=1)
    assert band(counted) == (
        "4 of 7 wakings read lay in the band of 16–22 °C, 2 below it, 1 above it. "
        "1 night had no reading on waking."
    )
    assert "61–72 °F" in band(counted, setting=FAHRENHEIT)
    assert "assumed" in band(counted, assumed=True)


def test_what_was_not_is_not_said():
    all_in = replace(NONE, slept=2, read=2, in_band=2)
    assert band(all_in) == "2 of 2 wakings read lay in the band of 16–22 °C."
    assert band(NONE) == "No night was slept there."
    assert band(replace(NONE, slept=2)) == "No temperature was read on waking in 2 nights."


def test_forecasts_held_and_not_reckoned():
    some = replace(NONE, slept=5, read=5, held=2, scored=3, not_reckoned=2)
    said = forecasts_text(some)
    assert said.startswith("2 of 3 forecasts held")
    assert "which 9 in 10 should" in said
    assert "The rest was not reckoned here for 2 nights" in said
    none = forecasts_text(replace(some, held=0, scored=0, not_reckoned=5))
    assert none.startswith("What was said at bed was not reckoned here for 5 nights.")
    assert "nightload nights" in none
    assert forecasts_text(NONE) == ""


def a_night(**more: object) -> NightTold:
    plain = NightTold(
        evening=date(2026, 1, 16),
        bed=BED,
        wake=BED + timedelta(hours=8),
        marks_inferred=False,
        load_kg=4.0,
        loads_after=0,
        air_open_pct=25.0,
        bed_c=20.0,
        woke_c=15.5,
        outdoor_low_c=-9.0,
    )
    return replace(plain, **more)


def test_a_night_as_cells():
    held = a_night(said_at_wake_c=Range(13.0, 16.0, 20.0), loads_after=1)
    missed = a_night(said_at_wake_c=Range(17.0, 18.0, 20.0), outdoor_low_read=False)
    bare = a_night(load_kg=0.0, air_open_pct=None, woke_c=None, outdoor_low_c=None)
    first, second, third = night_cells((held, missed, bare), setting=SETTING)
    assert first[:2] == ("Fri 16 Jan", "4.0 kg + 1 later")
    assert first[2].replace("\u00a0", " ") == "1/4 open (3/4 closed)", "both ways, as everywhere"
    assert first[3:] == ("13–20 °C", "15.5 °C", "−9 °C", "held")
    assert second[5:] == ("−9 °C (forecast)", "missed")
    assert third[1:] == ("no wood", "", "not reckoned", "not read", "", "")


def a_load(**more: object) -> LoadRow:
    plain = LoadRow(
        at=BED,
        kg=4.0,
        kg_dry=3.28,
        pieces="2M 1L",
        species="birch",
        kindling=False,
        air_open_pct=100.0,
        then_open_pct=25.0,
        then_minutes=15.0,
    )
    return replace(plain, **more)


def test_the_kind_of_wood_stands_with_each_load_only_where_kinds_differ():
    one, two = load_cells((a_load(), a_load(kindling=True)), setting=SETTING)
    assert one[:4] == ("Fri 16 22:30", "2 M 1 L", "4.0 kg", "3.3 kg")
    assert two[1] == "2 M 1 L, kindling"
    assert one[5] == "15 min"
    one, two = load_cells((a_load(), a_load(species="oak")), setting=SETTING)
    assert (one[1], two[1]) == ("2 M 1 L, birch", "2 M 1 L, oak")


def test_a_line_breaks_only_between_the_two_ways_of_air():
    (cells,) = load_cells((a_load(air_open_pct=60.0),), setting=SETTING)
    assert cells[4].split(" ") == ["60\u00a0%\u00a0open", "(40\u00a0%\u00a0closed)"]


def test_ends_say_when_they_were_read():
    low, high = Extreme(-3.0, BED), Extreme(25.5, BED + timedelta(hours=8))
    ends = Extremes(inside_lowest=low, inside_highest=high, outside_lowest=None, outside_highest=None)
    said = extremes_text(ends, setting=SETTING)
    assert said == "Inside from −3.0 °C (read Fri 16 Jan 22:30) to 25.5 °C (read Sat 17 Jan 06:30)."
    nothing = Extremes(inside_lowest=None, inside_highest=None, outside_lowest=None, outside_highest=None)
    assert extremes_text(nothing, setting=SETTING) == "No temperature was read."
