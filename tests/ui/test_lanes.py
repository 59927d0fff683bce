"""The lanes under the chart, the chart's scale, and what of a forecast is drawn."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from fake_desk import BAND_C, BED, NO_FIRE, NOW, PAST, WAKE, ZONE, FakeDesk, choice

from logbook.records import OwnUnits, Window
from logbook.results.app import Ahead, Burning, Past
from logbook.ui.cells import MARGIN, text_of
from logbook.ui.chart import Frame
from logbook.ui.lanes import lanes
from logbook.ui.pages.night import frame_for, night_rows, night_start, scale
from logbook.ui.view import View

START = datetime(2026, 1, 16, 17, 0, tzinfo=ZONE)
FRAME = Frame(start=START, hours=16, columns_per_hour=4, rows=7, top_c=26.5, step_k=2.5, zone=ZONE)


def after(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def drawn(past: Past, *, planned=None, ahead: Ahead | None = None, frame: Frame = FRAME) -> list[str]:
    rows = lanes(frame=frame, past=past, choice=planned, ahead=ahead or Ahead(), now=NOW, bed=BED, wake=WAKE)
    return [text_of(row)[MARGIN + 1 :].rstrip() for row in rows]


def view(**more) -> View:
    desk = FakeDesk()
    fields = {
        "width": 80,
        "height": 24,
        "now": NOW,
        "zone": ZONE,
        "page": "now",
        "head": desk.head(),
        "past": PAST,
    }
    return View(**(fields | more))


def test_hours_are_dotted_from_bed_to_waking() -> None:
    time, *_ = drawn(Past())
    assert time == "17      19      21    · 23 ···· 01 ···· 03 ···· 05 ···· 07      09"


def test_loads_lie_at_their_hour_and_planned_ones_carry_a_question_mark() -> None:
    planned = choice(wake=(1, 2, 3), peak=(1, 2, 3), loads=(("1 M", 1.6, "22:30", 33.3),), air=33.3, chance=0)
    _, wood, air, _ = drawn(Past(loads=((after(1), "3M"),)), planned=planned)
    assert wood == "    3M                1M?"
    assert air == " " * 22 + "1/3?"


def test_a_text_that_collides_moves_right_and_is_left_out_past_three_columns() -> None:
    loads = ((after(1), "3M"), (after(1.25), "2M"), (after(1.3), "1L"), (after(1.4), "1S"))
    _, wood, _, _ = drawn(Past(loads=loads))
    # 3M in column 4; 2M wants 5, gets 7; 1L wants 5, would get 10: out; 1S wants 5, out.
    assert wood == "    3M 2M"


def test_the_air_that_stood_before_the_chart_is_written_at_its_edge_and_changes_where_they_are() -> None:
    past = Past(air_open_pct=((after(-3), 75.0), (after(-1), 50.0), (after(2), 25.0), (after(3), 25.0)))
    assert drawn(past)[2] == "1/2     1/4"


def test_where_air_changes_collide_the_later_one_stays_for_it_is_what_stands() -> None:
    past = Past(air_open_pct=((after(1), 100.0), (after(2.25), 80.0), (after(2.6), 40.0)))
    assert drawn(past)[2] == "    all   40%"


def test_what_burns_is_told_apart_from_coals_and_nothing_is_drawn_when_out() -> None:
    ahead = Ahead(burning=(Burning(after(5), after(6), False), Burning(after(6), after(7), True)))
    assert drawn(Past(), ahead=ahead)[2] == " " * 20 + "━━━━╍╍╍╍"


def test_outdoors_shows_a_figure_only_where_one_is_known_within_the_hour() -> None:
    past = Past(outside_c=((after(0.5), -6.4), (after(1.1), float("nan"))))
    ahead = Ahead(outside_c=((after(8), -11.0), (after(15), -3.0)))
    # 17:00 from 17:30; 19 and 21: nothing near; 01:00 told; 07 and 09 from 08:00, an hour away.
    assert drawn(past, ahead=ahead)[3] == "−6" + " " * 30 + "−11" + " " * 21 + "−3      −3"
    fahrenheit = replace(FRAME, units=OwnUnits(temperature="F"))
    assert drawn(past, frame=fahrenheit)[3] == "20"  # -6.4 °C is 20.48 °F


def test_a_window_to_be_cracked_is_told_with_a_question_mark() -> None:
    planned = choice(wake=(1, 2, 3), peak=(1, 2, 3), air=33.3, chance=0, window=Window.CRACKED)
    assert "cracked?" in drawn(Past(), planned=planned)[1]


def test_the_forecast_is_drawn_to_waking_and_no_further() -> None:
    long = replace(
        NO_FIRE,
        hours=tuple(NOW.astimezone(UTC) + timedelta(hours=n / 2) for n in range(54)),
    )
    rows = night_rows(view(), choice=long, ahead=Ahead(), band_c=BAND_C, bed=BED, wake=WAKE, choices=[long])
    braille = [
        column
        for row in rows[:7]
        for column, sign in enumerate(text_of(row)[MARGIN + 1 :])
        if 0x2800 < ord(sign) < 0x2900
    ]
    assert max(braille) == 52  # the last point before 06:30 is 06:10: 13.17 h of 4 columns


def test_the_scale_grows_for_the_hottest_that_may_come() -> None:
    assert scale(view(), band_c=BAND_C, choices=[], wake=WAKE) == (26.5, 2.5)
    hot = choice(wake=(14, 18, 22), peak=(24, 29, 34.0), air=50, chance=0.0)
    top, step = scale(view(), band_c=BAND_C, choices=[NO_FIRE, hot], wake=WAKE)
    assert top >= 34.0 and top - 7 * step <= 15.0


@pytest.mark.parametrize("likely", [14.0, 9.0, 5.0, -5.0, -14.0])
def test_likely_never_leaves_the_chart_and_its_name_stands_at_its_height(likely: float) -> None:
    """Once it left at 03:30, and "likely 5 °C" stood in the row of 10 to 12 °C."""
    night = choice(wake=(likely - 4, likely, likely + 4), peak=(20, 21, 22.0), air=50, chance=0.0)
    top, step = scale(view(), band_c=BAND_C, choices=[night], wake=WAKE)
    rows = night_rows(view(), choice=night, ahead=Ahead(), band_c=BAND_C, bed=BED, wake=WAKE, choices=[night])
    last = night.indoor_p50_c[max(n for n, at in enumerate(night.hours) if at <= WAKE)]
    named = next(n for n, row in enumerate(rows[:7]) if "likely" in text_of(row))
    assert named == int((top - last) // step) < 6
    assert any(0x2800 < ord(sign) < 0x2900 for sign in text_of(rows[named]).partition(" likely")[0])


def test_the_cold_end_of_a_range_is_followed_but_not_at_any_price() -> None:
    cold = choice(wake=(2, 9, 14), peak=(20, 21, 22.0), air=50, chance=0.0)
    top, step = scale(view(), band_c=BAND_C, choices=[cold], wake=WAKE)
    assert top - 7 * step < 2
    frozen = choice(wake=(-25, 9, 14), peak=(20, 21, 22.0), air=50, chance=0.0)
    top, step = scale(view(), band_c=BAND_C, choices=[frozen], wake=WAKE)
    assert 7 * step <= 31.5
    rows = night_rows(
        view(), choice=frozen, ahead=Ahead(), band_c=BAND_C, bed=BED, wake=WAKE, choices=[frozen]
    )
    assert "down to −2" in text_of(rows[6]) and text_of(rows[6]).rstrip().endswith("↓")


def test_what_comes_after_waking_does_not_squeeze_the_scale() -> None:
    up_early = WAKE - timedelta(hours=3)
    cold = choice(wake=(10, 12, 14), peak=(20, 21, 22.0), air=50, chance=0.0)
    after = [-30.0 if at > up_early else c for at, c in zip(cold.hours, cold.indoor_p50_c, strict=True)]
    assert -30.0 in after
    asked = [replace(cold, indoor_p50_c=tuple(after))]
    found = scale(view(), band_c=BAND_C, choices=asked, wake=up_early)
    assert found == scale(view(), band_c=BAND_C, choices=[cold], wake=up_early)


def test_the_scale_grows_for_a_reading_of_this_evening() -> None:
    cold = replace(PAST, inside_c=((after(0.5), -4.0), *PAST.inside_c[1:]))
    top, step = scale(view(past=cold), band_c=BAND_C, choices=[NO_FIRE], wake=WAKE)
    assert top - 7 * step <= -4.0


def test_the_chart_begins_at_five_in_the_evening_until_nine_in_the_morning() -> None:
    def starts(hour: int, day: int = 17) -> datetime:
        return night_start(datetime(2026, 1, day, hour, 20, tzinfo=ZONE), zone=ZONE)

    assert starts(17) == datetime(2026, 1, 17, 17, tzinfo=ZONE)
    assert starts(3) == datetime(2026, 1, 16, 17, tzinfo=ZONE)
    assert starts(8) == datetime(2026, 1, 16, 17, tzinfo=ZONE)
    assert starts(12) == datetime(2026, 1, 17, 11, tzinfo=ZONE)  # an hour before now


def test_once_woken_the_chart_is_of_the_night_to_come() -> None:
    """Until nine it showed the night before, with the names of tomorrow's waking at its end."""
    now, wake = datetime(2026, 1, 17, 7, 20, tzinfo=ZONE), datetime(2026, 1, 18, 6, 45, tzinfo=ZONE)
    hours = tuple(now + timedelta(hours=h) for h in range(24))
    series = {f"indoor_p{of}_c": (value,) * 24 for of, value in (("05", 11.0), ("50", 13.0), ("95", 15.0))}
    night = replace(NO_FIRE, hours=hours, **series)
    bed = wake - timedelta(hours=8)
    rows = [
        text_of(row)[MARGIN + 1 :]
        for row in night_rows(
            view(now=now), choice=night, ahead=Ahead(), band_c=BAND_C, bed=bed, wake=wake, choices=[night]
        )
    ]
    assert rows[7].split()[:3] == ["06", "08", "10"]
    frame = frame_for(view(now=now), top_c=26.5, step_k=2.5, wake=wake)
    (name,) = [row.index("likely 13 °C") for row in rows if "likely 13 °C" in row]
    assert abs(name - frame.column(hours[-1])) <= 3, "it stands where the line ends"


def test_hours_and_figures_keep_apart_where_an_hour_has_one_column() -> None:
    """By day under 80 columns the hours lost their second figure, and outdoors ran together: −9−9−9."""
    frame = replace(FRAME, hours=22, columns_per_hour=1)
    ahead = Ahead(outside_c=tuple((NOW + timedelta(hours=h), -12.0) for h in range(20)))
    time, *_, outdoors = drawn(Past(), ahead=ahead, frame=frame)
    assert time.replace("·", " ").split() == ["17", "21", "01", "05", "09", "13"]
    assert set(outdoors.split()) == {"−12"}


def test_who_wakes_late_keeps_the_chart_of_the_night_until_then() -> None:
    now, wake = datetime(2026, 1, 17, 8, 20, tzinfo=ZONE), datetime(2026, 1, 17, 8, 45, tzinfo=ZONE)
    assert night_start(now, zone=ZONE, wake=wake) == datetime(2026, 1, 16, 17, tzinfo=ZONE)


def test_the_chart_keeps_its_hours_on_the_night_the_clocks_change() -> None:
    # 25 Oct 2026, 03:00 summer time becomes 02:00: the night is an hour longer.
    now = datetime(2026, 10, 24, 22, 0, tzinfo=ZONE)
    frame = frame_for(view(now=now), top_c=26.5, step_k=2.5)
    rows = lanes(
        frame=frame, past=Past(), choice=None, ahead=Ahead(), now=now, bed=now, wake=now + timedelta(hours=8)
    )
    labels = text_of(rows[0])[MARGIN + 1 :].replace("·", " ").split()
    # Two real hours apart; 03:00 is 02:00 again, so the clock says 02 where it would have said 03.
    assert labels == ["17", "19", "21", "23", "01", "02", "04", "06", "08"]
