"""Stretches on page Cabin and nights on page Nights, left out of learning and used again by keys."""

from __future__ import annotations

import pytest
from fake_desk import STRETCHES
from test_own_pages import Keys


def cabin(**more: object) -> Keys:
    return Keys(stretches=STRETCHES, **more).press("c")


def test_the_stretches_are_listed_with_how_many_are_used() -> None:
    screen = cabin().screen()
    assert any("4 of 4 used" in row for row in screen)
    assert "   used Sun 11 Jan 10:40     −5 °C    17.5 to 9.0 °C  2.6 h  steady" in screen


def test_x_leaves_the_chosen_stretch_out_and_the_page_is_reckoned_anew() -> None:
    keys = cabin().press("down", "down")
    keys.desk.slow_calls.clear()
    keys.press("x")
    assert len(keys.desk.left_out()) == 1
    assert ">   out Sun 4 Jan 22:10      −7 °C    18.2 to 2.1 °C  8.5 h  left out" in keys.screen()
    assert "3 of 4 used" in keys.text
    assert "cabin" in keys.desk.slow_calls and "expect" in keys.desk.slow_calls


def test_v_uses_it_again_and_u_takes_that_back() -> None:
    keys = cabin().press("down", "down", "x", "v")
    assert keys.desk.left_out() == () and "4 of 4 used" in keys.text
    keys.press("u")
    assert len(keys.desk.left_out()) == 1 and "3 of 4 used" in keys.text


def test_with_no_stretch_chosen_v_and_x_change_nothing() -> None:
    keys = cabin().press("v")
    assert keys.desk.kept == []


def test_a_word_begun_with_x_takes_the_flip_back() -> None:
    keys = cabin().press("down", "x")
    keys.press("a", wait=0.1)
    assert keys.desk.left_out() == () and keys.session.line.text == "xa"


def test_more_stretches_than_rows_follow_the_chosen_one() -> None:
    keys = cabin().press(*["down"] * 4)
    assert any(row.startswith(">  used Sun 7 Dec 11:00") for row in keys.screen())
    assert "not read" in keys.text


def test_a_night_is_left_out_with_x_and_used_again_with_v() -> None:
    keys = Keys().press("n", "down", "x")
    assert len(keys.desk.left_out()) == 1
    chosen = next(row for row in keys.screen() if row.startswith(">"))
    assert chosen.endswith("in  x") and "Left out of learning; v uses it again." in keys.text
    keys.press("v")
    assert keys.desk.left_out() == () and keys.session.nights.looking.marked is None


def test_v_on_a_night_in_use_still_marks_it() -> None:
    keys = Keys().press("n", "down", "v")
    assert keys.session.nights.looking.marked is not None and keys.desk.kept == []


def test_leaving_a_night_out_leaves_its_score_alone() -> None:
    """What was told beforehand was told: learning changes, the record doesn't."""
    keys = Keys().press("n", "down", "x")
    assert "8 nights told beforehand: 5 woke inside" in keys.text


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)])
def test_the_page_keeps_its_size_with_stretches(size: tuple[int, int]) -> None:
    keys = cabin(width=size[0], height=size[1]).press("down", "down", "x")
    assert {len(row) for row in map(str.rstrip, keys.screen())} and len(keys.session.rows()) == size[1]
    assert any("22:10" in row for row in keys.screen())
    assert any(row.startswith(" danger") for row in keys.screen())
