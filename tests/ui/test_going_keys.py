"""Going: one key tells how long the room keeps, what to heed and what is left to do."""

from __future__ import annotations

from test_own_pages import Keys

from logbook.ui.pages.going import WRITE_LEFT


def test_g_tells_the_hours_to_freezing_the_last_wood_and_the_cautions() -> None:
    keys = Keys().press("g")
    screen = keys.screen()
    assert screen[6].startswith("  falls No more wood, 20 °C inside")
    assert any("0 °C in 14 h to 25 h, likely 19 h" in row for row in screen)
    assert any(row.startswith("   wood Last in: 2 M at 20:55") for row in screen)
    assert any(row.startswith("   care Coals give carbon monoxide") for row in screen)


def test_the_word_leave_does_the_same() -> None:
    assert Keys().type(" leave\r").session.page == "going"


def test_the_list_goes_on_below_with_the_arrows_to_its_end() -> None:
    keys = Keys().press("g")
    assert "more rows" in keys.text and "12 line 12" not in keys.text
    keys.press(*["pagedown"] * 12)
    assert "12 line 12 of the owner's own list" in keys.text and WRITE_LEFT in keys.text
    keys.press(*["up"] * 40)
    assert keys.screen()[6].startswith("  falls")


def test_a_line_written_there_is_kept_and_the_old_answer_says_of_when_it_is() -> None:
    keys = Keys().press("g").type("-9/18\r")
    assert keys.desk.kept == ["-9/18"] and keys.desk.slow_calls.count("going") == 2
    keys.session.reckon()
    assert "as of 21:40" in "\n".join(keys.screen())


def test_it_is_reckoned_only_where_it_is_looked_at() -> None:
    keys = Keys().press("g", "escape").type("-9/18\r")
    assert keys.desk.slow_calls.count("going") == 1
    keys.press("g")
    assert keys.desk.slow_calls.count("going") == 2, "what grew old is reckoned anew"


def test_a_word_that_begins_with_g_stays_a_word() -> None:
    keys = Keys()
    keys.press("g").press("u", wait=0.1)
    assert keys.session.page == "now" and keys.session.line.text == "gu"


def test_while_it_is_reckoned_and_when_it_cannot_be_it_says_so() -> None:
    keys = Keys()
    keys.session.press("g", "g", 99.0)
    assert "Reckoning how the room falls" in keys.text
    keys.session.failed("going", "Not described yet.\nPage Cabin.")
    assert "Not described yet. Page Cabin." in keys.text
