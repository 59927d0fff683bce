"""Going: one key tells how long the room keeps, what to heed and what is left to do."""

from __future__ import annotations

from test_own_pages import Keys

from logbook.ui.pages.going import WRITE_LEFT


def test_g_tells_the_hours_to_freezing_and_the_gravest_caution_beneath_the_list() -> None:
    screen = Keys().press("g").screen()
    assert screen[6].startswith("  leave 9 lines")
    assert any(row.startswith(" freeze 0 °C in 14 h to 25 h, likely 19 h") for row in screen)
    assert any(row.startswith("   care Coals give carbon monoxide") for row in screen)


def test_the_word_leave_does_the_same() -> None:
    assert Keys().type(" leave\r").session.page == "list"
    assert Keys().type(" going\r").session.known.listed.name == "leaving"


def test_all_that_is_known_goes_on_below_the_list_with_the_arrows() -> None:
    keys = Keys().press("g")
    assert "more below" in keys.text and WRITE_LEFT not in keys.text
    keys.press(*["pagedown"] * 9)
    assert "5 °C in 8.2 h" in keys.text or "Last in: 2 M at 20:55" in keys.text
    assert WRITE_LEFT in keys.text
    keys.press(*["up"] * 40)
    assert keys.screen()[8].startswith(">")


def test_on_a_large_screen_it_is_all_there_and_nothing_is_said_twice() -> None:
    keys = Keys(width=120, height=45).press("g")
    assert keys.text.count("0 °C in 14 h to 25 h") == 1 and "Last in: 2 M at 20:55" in keys.text
    assert "drain first, then go" in keys.text and "more below" not in keys.text


def test_a_line_written_there_is_kept_and_the_old_answer_says_of_when_it_is() -> None:
    keys = Keys().press("g").type("-9/18\r")
    assert keys.desk.kept == ["-9/18"] and keys.desk.slow_calls.count("going") == 2
    keys.session.reckon()
    assert "as of" in "\n".join(keys.screen())


def test_it_is_reckoned_only_where_it_is_looked_at() -> None:
    keys = Keys().press("g", "escape").type("-9/18\r")
    assert keys.desk.slow_calls.count("going") == 1
    keys.press("g")
    assert keys.desk.slow_calls.count("going") == 2, "what grew old is reckoned anew"


def test_no_room_is_reckoned_for_a_list_that_nobody_leaves_by() -> None:
    keys = Keys().type(" arriving\r")
    assert "going" not in keys.desk.slow_calls and "freeze" not in keys.text


def test_a_word_that_begins_with_g_stays_a_word() -> None:
    keys = Keys()
    keys.press("g").press("u", wait=0.1)
    assert keys.session.page == "now" and keys.session.line.text == "gu"


def test_while_it_is_reckoned_and_when_it_cannot_be_the_list_stands_and_it_says_so() -> None:
    keys = Keys().press("g")
    keys.session.known.going = None
    assert "Reckoning how the room falls" in keys.text
    keys.session.failed("going", "Not described yet.\nPage Cabin.")
    assert "Not described yet. Page Cabin." in keys.text and "water drained" in keys.text
