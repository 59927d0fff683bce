"""The night chart on its own: what is drawn where, and awkward input."""

from __future__ import annotations

import math
import random
from datetime import UTC, datetime, timedelta

import pytest

from logbook.records import OwnUnits
from logbook.ui.cells import MARGIN, Role, text_of, width_of
from logbook.ui.chart import BRAILLE, NAMES_BEYOND, Drawing, Frame, drawn, value_at

START = datetime(2026, 1, 16, 17, 0, tzinfo=UTC)
SMALL = Frame(start=START, hours=16, columns_per_hour=4, rows=7, top_c=26.5, step_k=2.5, zone=UTC)
TALL = Frame(start=START, hours=16, columns_per_hour=6, rows=16, top_c=26.5, step_k=1.25, zone=UTC)
BAND = (16.0, 22.0)
NAN, INF = float("nan"), float("inf")


def after(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def steady(value: float, start: float = 5.0, end: float = 13.5) -> list[tuple[datetime, float]]:
    return [(after(start + n * (end - start) / 20), value) for n in range(21)]


def body(row) -> str:
    return text_of(row)[MARGIN + 1 :]


def test_the_band_lies_where_the_sketch_has_it() -> None:
    rows = drawn(Drawing(band_c=BAND), frame=SMALL)
    assert [text_of(row)[: MARGIN + 1] for row in rows] == [
        "        ", "  22 °C ", "        ", "        ", "  16 °C ", "        ", "        ",
    ]  # fmt: skip
    assert body(rows[1]) == "┄" * 64
    assert body(rows[0]).strip() == ""


def test_a_tall_chart_has_one_label_below_the_band() -> None:
    labels = [text_of(row)[:MARGIN].strip() for row in drawn(Drawing(band_c=BAND), frame=TALL)]
    assert {n: label for n, label in enumerate(labels) if label} == {3: "22 °C", 8: "16 °C", 13: "10 °C"}


def test_a_reading_lies_in_its_hour_and_degree() -> None:
    rows = drawn(Drawing(readings=[(after(4.5), 19.5)], band_c=BAND), frame=SMALL)
    # 4.5 h of 4 columns: column 18; (26.5 - 19.5) / 2.5 = 2.8: third row.
    assert body(rows[2])[18] == "●"
    assert sum(body(row).count("●") for row in rows) == 1


def test_a_reading_just_above_a_row_is_not_drawn_in_it() -> None:
    """Its mark would hang two thirds of a row under its line."""
    rows = drawn(Drawing(readings=[(after(1), 19.1), (after(3), 19.1)], band_c=BAND), frame=SMALL)
    # (26.5 - 19.1) / 2.5 = 2.96: the line lies on both sides of the edge, the mark in the upper row.
    assert "●" in body(rows[2]) and "●" not in body(rows[3])


def test_readings_are_joined_by_a_line_two_dots_thick_without_gaps() -> None:
    rows = drawn(Drawing(readings=[(after(1), 10.0), (after(3), 20.0)]), frame=SMALL)
    for column in range(4, 12):
        cells = [body(row)[column] for row in rows]
        assert any(c == "●" or ord(c) > BRAILLE for c in cells), column
    dots = sum((ord(c) - BRAILLE).bit_count() for row in rows for c in body(row) if ord(c) > BRAILLE)
    assert dots >= 2 * 14  # 16 half columns, two of them under the marks


def test_the_range_is_two_dotted_edges_with_one_dot_a_cell() -> None:
    rows = drawn(Drawing(low=steady(12.0), high=steady(21.0)), frame=SMALL)
    high, low = body(rows[2]), body(rows[5])  # (26.5-21)/2.5 = 2.2; (26.5-12)/2.5 = 5.8
    for edge in (high, low):
        inside = edge[21:53]
        assert all((ord(c) - BRAILLE).bit_count() == 1 for c in inside)
        assert edge[:19].strip() == ""


def test_the_likely_line_is_one_dot_thick_and_has_no_gaps_even_when_steep() -> None:
    likely = [(after(5), 24.0), (after(5.5), 12.0), (after(13), 12.0)]
    rows = drawn(Drawing(likely=likely, names=False), frame=SMALL)
    touched = [n for n, row in enumerate(rows) if any(ord(c) > BRAILLE for c in body(row))]
    assert touched == [1, 2, 3, 4, 5]


def test_cells_at_least_half_inside_the_range_are_tinted_and_no_others() -> None:
    # From 22.4 to 15.6 °C: rows 1.64 to 4.36. Rows 2 and 3 whole; 1 and 4 less than half (0.36): not.
    rows = drawn(Drawing(low=steady(15.6), high=steady(22.4), names=False), frame=SMALL)
    tinted = [n for n, row in enumerate(rows) if any(span.tint for span in row)]
    assert tinted == [2, 3]
    width = sum(len(span.text) for span in rows[2] if span.tint)
    assert 32 <= width <= 35  # 8.5 hours of 4 columns


def test_a_stipple_only_where_rows_are_many() -> None:
    def dots(frame: Frame) -> int:
        drawing = Drawing(low=steady(8.0), high=steady(24.0), names=False)
        return sum((ord(c) - BRAILLE).bit_count() for r in drawn(drawing, frame=frame) for c in body(r)
                   if ord(c) > BRAILLE)  # fmt: skip

    assert dots(SMALL) <= 2 * 35  # the edges alone
    assert dots(TALL) > 2 * 52 + 60


def test_now_is_a_quiet_line_with_its_word_and_gives_way_to_dots() -> None:
    rows = drawn(Drawing(now=after(4.67), band_c=BAND, likely=steady(19.0, start=4.0)), frame=SMALL)
    assert body(rows[0])[18:22] == "╎now"
    assert body(rows[3])[18] == "╎" or ord(body(rows[3])[18]) > BRAILLE
    assert body(rows[1])[18] == "┄"  # the band was there first


def test_names_stand_at_the_line_ends_and_never_cover_each_other() -> None:
    drawing = Drawing(low=steady(17.9), likely=steady(18.0), high=steady(18.1))
    rows = drawn(drawing, frame=SMALL)
    said = [text_of(row) for row in rows]
    where = [
        next(n for n, s in enumerate(said) if word in s) for word in ("up to 18 °C", "likely 18", "down to")
    ]
    assert where == sorted(set(where))
    assert said[where[0]].index("up to") == MARGIN + 1 + 54 + 2  # the line ends in column 54


def test_names_off_the_scale_keep_their_number_on_the_last_row() -> None:
    drawing = Drawing(low=steady(-20.0), likely=steady(-5.0), high=steady(3.0))
    said = [text_of(row) for row in drawn(drawing, frame=SMALL)]
    assert "up to 3 °C↓" in said[4] and "likely −5 °C↓" in said[5] and "down to −20 °C↓" in said[6]
    hot = Drawing(low=steady(20.0), likely=steady(24.0), high=steady(40.0))
    said = [text_of(row) for row in drawn(hot, frame=SMALL)]
    assert "up to 40 °C↑" in said[0] and "↑" not in said[1] + said[2]


def test_names_that_would_leave_the_screen_move_left() -> None:
    drawing = Drawing(low=steady(-20.0, end=16), likely=steady(-5.0, end=16), high=steady(3.0, end=16))
    rows = drawn(drawing, frame=SMALL)
    assert max(width_of(row) for row in rows) <= MARGIN + 1 + SMALL.columns + NAMES_BEYOND
    assert "down to −20 °C" in text_of(rows[6])


def test_fahrenheit_owners_read_fahrenheit() -> None:
    frame = Frame(
        start=START,
        hours=16,
        columns_per_hour=4,
        rows=7,
        top_c=26.5,
        step_k=2.5,
        zone=UTC,
        units=OwnUnits(temperature="F"),
    )
    said = [text_of(row) for row in drawn(Drawing(band_c=BAND, high=steady(20.0)), frame=frame)]
    assert said[1].startswith("  72 °F") and said[4].startswith("  61 °F")
    assert any("up to 68 °F" in row for row in said)


def test_plain_marks_are_ascii_and_say_the_same() -> None:
    drawing = Drawing(
        readings=[(after(1), 12.0), (after(4), 19.0)],
        low=steady(11.0),
        likely=steady(15.0),
        high=steady(21.0),
        band_c=BAND,
        now=after(4.67),
    )
    text = "\n".join(body(row) for row in drawn(drawing, frame=SMALL, plain=True))
    assert text.replace("°", "").isascii()
    for mark in "o*+:-|":
        assert mark in text


AWKWARD = [
    Drawing(),
    Drawing(readings=[(after(1), NAN)]),
    Drawing(readings=[(after(1), INF), (after(2), -INF), (after(3), 15.0)]),
    Drawing(readings=[(after(1), 20.0)]),
    Drawing(readings=[(after(1), 20.0), (after(1), 12.0), (after(1), 5.0)]),
    Drawing(readings=[(after(-100), 20.0), (after(900), 12.0)]),
    Drawing(readings=[(after(1), 1e300), (after(2), -1e300)]),
    Drawing(low=steady(1e9), likely=steady(1e9), high=steady(1e9)),
    Drawing(low=steady(-300), likely=steady(-300), high=steady(-300)),
    Drawing(low=steady(20.0), high=steady(10.0)),  # crossed
    Drawing(low=[(after(5), NAN)] * 3, likely=[(after(5), 12.0)], high=[]),
    Drawing(likely=[(after(13), 12.0), (after(5), 14.0)]),  # out of order
    Drawing(band_c=(NAN, INF)),
    Drawing(band_c=(22.0, 16.0)),
    Drawing(band_c=(19.0, 19.1)),
    Drawing(now=after(-50)),
    Drawing(now=after(15.9)),
]


@pytest.mark.parametrize("plain", [False, True])
@pytest.mark.parametrize("frame", [SMALL, TALL], ids=["small", "tall"])
@pytest.mark.parametrize("drawing", AWKWARD, ids=range(len(AWKWARD)))
def test_awkward_input_gives_whole_rows(drawing: Drawing, frame: Frame, plain: bool) -> None:
    rows = drawn(drawing, frame=frame, plain=plain)
    assert len(rows) == frame.rows
    for row in rows:
        assert width_of(row) >= MARGIN + 1 + frame.columns
        assert width_of(row) <= MARGIN + 1 + frame.columns + NAMES_BEYOND
        assert "\n" not in text_of(row)


def test_random_series_never_break_it() -> None:
    rng = random.Random(7)
    values = [0.0, -40.0, 60.0, NAN, INF, 1e12, 15.3, 22.0, 26.5]
    for _ in range(150):

        def series() -> list[tuple[datetime, float]]:
            return [(after(rng.uniform(-20, 40)), rng.choice(values) + rng.uniform(-1, 1))
                    for _ in range(rng.randrange(0, 30))]  # fmt: skip

        frame = Frame(
            start=START, hours=rng.choice([1, 12, 16, 24]), columns_per_hour=rng.choice([1, 3, 4, 6]),
            rows=rng.choice([1, 3, 7, 16]), top_c=rng.uniform(-10, 40), step_k=rng.uniform(0.3, 10), zone=UTC,
        )  # fmt: skip
        drawing = Drawing(
            readings=series(),
            low=series(),
            likely=series(),
            high=series(),
            band_c=BAND,
            now=after(rng.uniform(-5, 30)),
        )
        rows = drawn(drawing, frame=frame, plain=rng.random() < 0.5)
        assert len(rows) == frame.rows


def test_value_at_is_straight_between_points_and_nothing_outside() -> None:
    line = [(1.0, 10.0), (3.0, 20.0), (3.0, 30.0), (5.0, 40.0)]
    assert value_at(line, 2.0) == pytest.approx(15.0)
    assert value_at(line, 1.0) == pytest.approx(10.0)
    assert value_at(line, 5.0) == pytest.approx(40.0)
    assert value_at(line, 0.9) is None and value_at(line, 5.1) is None
    assert value_at([], 1.0) is None


def test_roles_tell_the_lines_apart() -> None:
    drawing = Drawing(readings=[(after(1), 12.0), (after(4), 19.0)], low=steady(11.0), likely=steady(15.0),
                      high=steady(21.0), band_c=BAND)  # fmt: skip
    roles = {span.role for row in drawn(drawing, frame=SMALL) for span in row}
    assert {Role.MEASURED, Role.EXPECTED, Role.EDGE, Role.RULE} <= roles
    assert math.isfinite(SMALL.bottom_c) and pytest.approx(9.0) == SMALL.bottom_c
