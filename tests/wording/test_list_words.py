"""A list in words: margins, reasons, blanks filled in, what a tick and a move are said back with."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from logbook.care.checklists import SHIPPED
from logbook.records import OwnUnits
from logbook.results.lists import Condition, LeftOut, ListAnswer, ListLine, ListName, Why, WhyKind
from logbook.setting import Setting
from logbook.wording.lists import (
    CONDITION_WORDS,
    SAID_ON_TOP,
    TITLES,
    line_text,
    list_rows,
    paper_rows,
    placed_text,
    ticked_text,
    worded,
)

NOW = datetime(2026, 1, 16, 21, 40, tzinfo=UTC)
SETTING = Setting(zone="UTC")
FAHRENHEIT = Setting(zone="UTC", units=OwnUnits(temperature="F"))
LINE = ListLine(key="", name="roof vent shut", text="roof vent shut", safety=False)


def answer(*lines: ListLine, name: ListName = ListName.LEAVING, **more) -> ListAnswer:
    return ListAnswer(name=name, as_of=NOW, since=NOW - timedelta(hours=6), lines=lines, **more)


def why(*whys: Why, before: tuple[str, ...] = (), **more) -> str:
    return worded(answer(replace(LINE, whys=whys, before=before), **more), setting=SETTING).lines[0].why


def test_every_list_and_condition_has_words():
    assert set(TITLES) == set(ListName) == set(SAID_ON_TOP)
    assert set(CONDITION_WORDS) == set(Condition)


REASONS = [
    (Why(kind=WhyKind.CONDITION, what="frost"), {"outdoor_low_c": -9.4}, "frost ahead, −9 °C outside"),
    (Why(kind=WhyKind.CONDITION, what="frost"), {}, "frost possible, the low of the nights is not known"),
    (
        Why(kind=WhyKind.CONDITION, what="away"),
        {"last_left": datetime(2025, 11, 2, 12, 0, tzinfo=UTC)},
        "more than a month away, since Sun 2 Nov",
    ),
    (Why(kind=WhyKind.CONDITION, what="droppings"), {}, "droppings seen"),
    (Why(kind=WhyKind.RETURNED, at=datetime(2026, 1, 11, 13, 0, tzinfo=UTC)), {}, "skipped on Sun 11 Jan"),
    (
        Why(kind=WhyKind.TO_BRING, at=datetime(2026, 1, 10, 9, 0, tzinfo=UTC)),
        {},
        "on the bring list since Sat 10 Jan",
    ),
]


@pytest.mark.parametrize(("reason", "more", "said"), REASONS)
def test_a_reason_in_words(reason, more, said):
    assert why(reason, **more) == said


def test_of_all_it_waits_for_the_nearest_is_named():
    waits = tuple(Why(kind=WhyKind.WAITS, what=what) for what in ("chimney cap", "flue warmed"))
    assert why(*waits, before=("chimney cap", "flue warmed")) == "for safety after: flue warmed"


def test_the_margin_has_the_clock_the_day_or_skip():
    lines = (
        replace(LINE, done_at=NOW - timedelta(hours=1)),
        replace(LINE, done_at=NOW - timedelta(days=2)),
        replace(LINE, skipped_at=NOW),
        LINE,
    )
    rows = [row for row in list_rows(answer(*lines), setting=SETTING) if row[1].endswith("roof vent shut")]
    assert [margin for margin, _ in rows] == ["20:40", "14 Jan", "skip", ""]
    assert [words[:2] for _, words in rows] == [" 1", " 2", " 3", " 4"]


def test_the_first_row_counts_and_a_single_line_is_not_lines():
    first = list_rows(answer(replace(LINE, done_at=NOW)), setting=SETTING)[0]
    assert first == ("leaving", "1 line, 1 done, 0 skipped since Fri 16 Jan 15:40.")


def test_conditions_that_shape_the_list_stand_above_it_and_not_in_its_lines():
    line = replace(LINE, whys=(Why(kind=WhyKind.CONDITION, what="frost"),))
    rows = list_rows(
        answer(line, conditions=(Condition.FROST, Condition.GUESTS), outdoor_low_c=-9.0), setting=SETTING
    )
    assert rows[1] == ("", "Frost ahead, −9 °C outside.")
    assert rows[2][1] == " 1 roof vent shut", (
        "said above, not again in the line; guests are none of leaving's"
    )


def test_own_list_that_could_not_be_read_is_said():
    rows = list_rows(answer(LINE, unreadable=True), setting=SETTING)
    assert any("could not be read: this is the shipped one" in words for _, words in rows)


def test_left_out_lines_are_named_while_they_would_stand():
    cap = LeftOut(key="cap", name="chimney cap", text="Look", safety=True, applies=True)
    nest = LeftOut(key="nest", name="nest in the cap", text="No fire", safety=True, applies=False)
    said = [words for _, words in list_rows(answer(LINE, left_out=(cap, nest)), setting=SETTING)]
    assert 'Left out by you: chimney cap. Back in: --back "chimney cap"' in said


@pytest.mark.parametrize("setting", [SETTING, FAHRENHEIT])
def test_every_blank_of_every_shipped_line_is_filled_in(setting):
    full = answer(
        ash_not_before=NOW, bucket_filled=NOW, bucket_not_before=NOW + timedelta(hours=96), nest_seen=NOW
    )
    for lines in SHIPPED.values():
        for line in lines:
            said = line_text(line.key, line.text, full, setting)
            assert "{" not in said, line.key
            assert "not known" not in said, line.key
            other = "°C" if setting is FAHRENHEIT else "°F"
            assert other not in said, line.key


def test_what_is_not_known_is_said_to_be():
    assert line_text("ash", "not before {ash}", answer(), SETTING) == "not before not known"


def test_an_owners_text_is_never_filled_in():
    assert line_text("", "write {ash}", answer(ash_not_before=NOW), SETTING) == "write {ash}"


def test_paper_has_a_blank_or_the_time_done():
    rows = paper_rows(answer(LINE, replace(LINE, done_at=NOW)), setting=SETTING, name="Rushlight")
    assert rows[0] == ("", "Leaving   Rushlight   Fri 16 Jan 2026")
    assert [margin for margin, words in rows if words.endswith("roof vent shut")] == ["__:__", "21:40"]


TICKS = [
    (LINE, ListName.LEAVING, True, [], "Done 21:40: roof vent shut."),
    (
        LINE,
        ListName.ARRIVING,
        True,
        ["chimney cap"],
        "Done 21:40: roof vent shut. Not ticked, and meant to come before it: chimney cap.",
    ),
    (
        LINE,
        ListName.LEAVING,
        False,
        [],
        "Skipped 21:40: roof vent shut. It comes first on the list when you come back.",
    ),
    (LINE, ListName.SPRING, False, [], "Skipped 21:40: roof vent shut."),
    (
        replace(LINE, safety=True),
        ListName.ARRIVING,
        False,
        [],
        "Skipped 21:40: roof vent shut. This line is there for safety.",
    ),
]


@pytest.mark.parametrize(("line", "name", "done", "waiting", "said"), TICKS)
def test_a_tick_is_said_back(line, name, done, waiting, said):
    assert ticked_text(line, name=name, done=done, at=NOW, waiting=waiting, zone="UTC") == said


PLACES = [
    (3, 3, (), "Line 3: roof vent shut"),
    (3, None, ("cap",), "Line 3: roof vent shut"),
    (5, 2, ("cap", "alarms"), "Line 5, not 2: for safety it stays after: alarms. roof vent shut"),
    (1, 4, (), "Line 1 for now, not 4: what holds today decides; your order is kept. roof vent shut"),
]


@pytest.mark.parametrize(("n", "wanted", "before", "said"), PLACES)
def test_where_a_line_went_is_said(n, wanted, before, said):
    assert placed_text(replace(LINE, before=before), n, wanted=wanted) == said
