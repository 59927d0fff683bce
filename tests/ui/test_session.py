"""The app without a terminal: keys in, what the desk was told and what the rows say out."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import timedelta

import pytest
from fake_desk import CHOICES, MONKEY_KEYS, NOW, FakeDesk

from logbook.records import OwnUnits, Window
from logbook.results.app import EmergencyPage
from logbook.ui.cells import text_of, width_of
from logbook.ui.keys import KEYS, WORDS_BOUND
from logbook.ui.known import LINES_LISTED
from logbook.ui.pages.tonight import wood_said
from logbook.ui.session import Session
from logbook.ui.view import Answer


class Keys:
    """A session driven by keys, with a clock of its own; slow work is done when asked for."""

    def __init__(
        self, desk: FakeDesk | None = None, *, width: int = 80, height: int = 24, plain: bool = False
    ):
        self.desk = desk or FakeDesk()
        self.session = Session(self.desk, plain=plain)
        self.session.width, self.session.height = width, height
        self.at = 0.0
        self.session.reckon()
        self.work()

    def work(self) -> None:
        """Do the slow work that waits."""
        for name, job in self.session.take_jobs():
            self.session.arrived(name, job(lambda said: None))

    def press(self, *keys: str, gap: float = 1.0) -> Keys:
        named = {" ": "space", "!": "exclamation_mark", "?": "question_mark"}
        for key in keys:
            self.at += gap
            character = key if len(key) == 1 else None
            self.session.press(named.get(key, key), character, self.at)
        return self

    def write(self, text: str) -> Keys:
        return self.press(*text, gap=0.05)

    def screen(self) -> list[str]:
        return [text_of(row) for row in self.session.rows()]

    def row(self, number: int) -> str:
        return self.screen()[number].rstrip()


def test_a_line_shows_what_it_reads_while_typed_and_says_what_was_saved() -> None:
    keys = Keys().write("-11/18 4m 1/4")
    assert keys.row(2) == "  write -11/18 4m 1/4"
    assert keys.row(3) == "  reads 21:40 -11/18 4m 1/4"
    assert keys.desk.kept == []
    keys.press("enter")
    assert keys.desk.kept == ["-11/18 4m 1/4"]
    assert keys.row(3) == "  saved 21:40 -11/18 4m 1/4"
    assert keys.row(7) == "  21:40 kept: -11/18 4m 1/4"  # the newest line
    assert keys.row(2).startswith("  write Numbers write.")


def test_u_takes_back_and_r_brings_back() -> None:
    keys = Keys().write("-9").press("enter", "u")
    assert keys.desk.kept == []
    assert keys.row(3).startswith("   back taken back: -9")
    keys.press("r")
    assert keys.desk.kept == ["-9"]


def test_nothing_to_take_back_is_said_and_nothing_happens() -> None:
    keys = Keys().press("u")
    assert keys.row(3) == "   stop Nothing to take back."


def test_enter_at_rest_and_on_an_empty_line_saves_nothing() -> None:
    keys = Keys().press("enter", "enter", " ", "enter")
    assert keys.desk.kept == []
    assert not keys.session.line.is_open


def test_what_is_not_understood_stays_in_the_line_with_the_caret_at_the_trouble() -> None:
    keys = Keys().write("-9 4x").press("enter")
    assert keys.desk.kept == []
    assert keys.row(3).startswith('   stop "4x" is not a piece size.')
    assert (keys.session.line.text, keys.session.line.caret) == ("-9 4x", 3)


def test_a_question_is_answered_by_one_key_and_then_kept() -> None:
    keys = Keys().write("65").press("enter")
    assert keys.row(3).startswith("   asks 65 inside is 65 °C.")
    assert keys.desk.kept == []
    keys.press("c")
    assert keys.desk.kept == ["65C"]


def test_escape_from_a_question_goes_back_to_the_text() -> None:
    keys = Keys().write("65").press("enter", "escape", "backspace", "backspace", *"64", "enter")
    assert keys.desk.kept == ["64"]


def test_a_refused_save_keeps_the_text() -> None:
    keys = Keys(FakeDesk(broken=True)).write("-9/18").press("enter")
    assert keys.session.line.text == "-9/18"
    assert keys.row(3).startswith("   stop The disk is full: the line is not saved.")
    keys.desk.broken = False
    keys.press("enter")
    assert keys.desk.kept == ["-9/18"]


@pytest.mark.parametrize(
    ("key", "kept"),
    [
        ("j", "same"),
        ("d", "air 1/4"),
        ("k", "alarms ok"),
        ("o", "window cracked"),
        ("b", "bed"),
        ("w", "woke"),
    ],
)
def test_one_key_records_and_u_takes_it_back(key: str, kept: str) -> None:
    keys = Keys().press(key)
    assert keys.desk.kept == [kept]
    assert keys.row(3).startswith("  saved")
    keys.press("u")
    assert keys.desk.kept == []


def test_o_shuts_a_window_that_is_cracked() -> None:
    keys = Keys().press("o", "o")
    assert keys.desk.kept == ["window cracked", "window shut"]


def test_d_and_k_are_dead_when_nothing_waits_for_them() -> None:
    keys = Keys().press("k", "d", "k", "d")
    assert keys.desk.kept == ["alarms ok", "air 1/4"]


def test_first_and_then_keep_their_rows_when_the_other_goes() -> None:
    keys = Keys()
    assert keys.row(4).startswith("  first Alarms not tested")
    keys.press("k")
    assert keys.row(4) == ""
    assert keys.row(5).startswith("   then Air to 1/4 open (3/4 closed)?")


def test_x_skips_the_turn_down_and_with_a_row_chosen_leaves_that_row_out() -> None:
    keys = Keys().press("x")
    assert keys.desk.kept == ["skip turn-down"]
    keys.press("down", "down", "x")
    assert keys.desk.kept[-1] == "remove old-1"
    assert all("2 M birch" not in row for row in keys.screen()[7:12])


def test_a_word_typed_without_space_records_nothing_and_comes_out_whole() -> None:
    keys = Keys().press(*"bought wood", gap=0.3)  # b alone records "bed"
    assert keys.desk.kept == []
    assert keys.session.line.text == "bought wood"


def test_a_word_that_begins_with_a_page_letter_comes_back_to_its_page() -> None:
    keys = Keys().press(*"note mouse", gap=0.3)
    assert keys.session.page == "now"
    keys.press("enter")
    assert keys.desk.kept == ["note mouse"]


def test_a_held_letter_records_once() -> None:
    keys = Keys().press(*"j" * 50, gap=0.03)
    assert keys.desk.kept == ["same"]


def test_a_row_is_chosen_opened_changed_and_put_back_as_a_change() -> None:
    keys = Keys().press("down", "down")
    assert keys.row(8).startswith("> 20:55 2 M birch")
    keys.press("enter")
    assert keys.row(2) == " change 2m air 1/2"
    keys.press("backspace", "4", "enter")
    assert keys.desk.kept == ["change old-1: 2m air 1/4"]


def test_the_list_follows_the_chosen_row_to_the_last() -> None:
    keys = Keys().press(*["down"] * 30)
    assert any(row.startswith("> 15:10 arrived") for row in keys.screen())
    keys.press("escape")
    assert not any(row.startswith(">") for row in keys.screen())
    assert keys.row(7).startswith("  21:30")


def test_pages_turn_by_arrows_and_by_letters() -> None:
    keys = Keys().press("right")
    assert keys.session.page == "tonight"
    keys.press("right", "right", "right", "right")  # the last page stays
    assert keys.session.page == "year"
    keys.press("left", "left", "left")
    assert keys.session.page == "tonight"
    keys.press("n", "escape")
    assert keys.session.page == "now"


def test_tonight_choices_are_moved_through_and_the_chart_follows() -> None:
    keys = Keys().press("t")
    first = keys.screen()
    keys.press("down")
    second = keys.screen()
    assert first[7].startswith(">choice 1 M 22:30, 2 M 02:30") and second[8].startswith(
        ">    or 1 M 1 L 22:30"
    )
    assert "1M1L?" in second[20] and "2M?" in first[20]
    assert first[12:19] != second[12:19]
    assert any("no fire after this" in row for row in second)


def test_a_window_beside_a_fire_that_burns_is_not_called_no_fire() -> None:
    keys = Keys().press("t")
    evening = keys.session.known.evening
    assert evening is not None
    idle = next(c for c in evening.answer.choices if not c.loads)
    aired = replace(idle, window=Window.CRACKED)
    view = keys.session.view()
    assert view.past.loads
    assert wood_said(view, aired, columns=20) == "no more, window"
    assert wood_said(replace(view, past=replace(view.past, loads=())), aired, columns=20) == "no fire, window"


def test_no_fire_is_listed_on_every_row_chosen() -> None:
    keys = Keys().press("t")
    for _ in CHOICES:
        assert any("no fire" in row for row in keys.screen()[7:10])
        assert sum(row.startswith(">") for row in keys.screen()) == 1
        keys.press("down")


def test_enter_puts_the_chosen_load_into_the_line_and_enter_again_keeps_it() -> None:
    keys = Keys().press("t", "down", "enter")
    assert keys.session.line.text == "1M 1L air 1/4"
    assert keys.desk.kept == []
    keys.press("enter")
    assert keys.desk.kept == ["1M 1L air 1/4"]


def test_enter_on_no_fire_writes_nothing() -> None:
    keys = Keys().press("t", *["down"] * 9, "enter", "enter")
    assert keys.desk.kept == []


def test_a_plan_typed_on_tonight_moves_the_chart_until_the_line_closes() -> None:
    keys = Keys().press("t")
    before = keys.screen()[12:19]
    keys.write("2m")
    keys.work()
    assert "try 2m" in keys.desk.slow_calls
    during = keys.screen()
    assert during[12:19] != before
    assert during[6].startswith(" advice As typed")
    keys.press("escape")
    assert keys.screen()[12:19] == before


def test_the_reasons_are_all_told_on_tab() -> None:
    keys = Keys().press("t", "tab")
    said = " ".join(" ".join(keys.screen()).split())
    assert "UNTRIED here: a second load after 01:00. It means getting up at 02:30." in said
    assert "While wood or coals glow, not lower, and the flue open." in said
    keys.press("escape")
    assert keys.session.page == "tonight"


def test_where_only_one_row_is_left_it_is_the_caution_not_the_reason() -> None:
    rows = Keys(width=60).press("t").screen()
    assert rows[6].startswith(" advice") and rows[7].startswith("        ")  # two rows of advice
    assert rows[11].startswith("   care UNTRIED")
    assert not any(row.startswith("  rests") for row in rows)


def test_untried_and_cautions_are_on_the_first_screen_of_tonight() -> None:
    rows = Keys().press("t").screen()
    assert any("UNTRIED" in row for row in rows[10:12])


def test_the_old_answer_stays_and_says_of_when_it_is() -> None:
    keys = Keys().write("-9").press("enter")
    assert keys.row(6) == "  as of 21:40: peak 21–23 °C near 23:30, 5–10 °C at 06:30."
    before = keys.screen()[7:]
    keys.work()
    assert keys.row(6).startswith(" expect If nothing more goes in: peak")
    assert keys.screen()[7:] == before  # nothing below moved
    keys.press("t", "k")
    assert keys.row(6).startswith("  as of 21:40: nothing holds 16–22 °C all night.")
    before = keys.screen()[7:]
    keys.work()
    assert keys.screen()[7:] == before


def test_an_answer_overtaken_by_a_further_line_says_of_when_it_is() -> None:
    """It was shown as of now, without the load just kept, until the newer one came."""
    keys = Keys().write("-9").press("enter")
    overtaken = keys.session.take_jobs()
    keys.write("4m").press("enter")
    for name, job in overtaken:
        keys.session.arrived(name, job(lambda said: None))
    assert keys.row(6).startswith("  as of 21:40: peak 21–23 °C")
    assert "expect" in keys.session.known.asked
    keys.work()
    assert keys.row(6).startswith(" expect If nothing more goes in: peak")


def test_a_page_turned_from_asks_anew_for_what_came_too_late_for_the_last_line() -> None:
    keys = Keys().press("n")
    (of_before,) = [job for name, job in keys.session.take_jobs() if name == "nights"]
    keys.press("escape").write("-9").press("enter")
    keys.session.arrived("nights", of_before(lambda said: None))
    keys.press("n")
    assert "nights" in dict(keys.session.take_jobs())


def test_a_slow_answer_that_fails_says_why_and_lines_are_still_taken() -> None:
    keys = Keys()
    keys.session.known.expect = None
    keys.session.failed("expect", "Tonight needs one inside reading of today.\nType it, for example 19")
    assert keys.row(6) == " expect Tonight needs one inside reading of today. Type it, for example 19"
    keys.write("19").press("enter")
    assert keys.desk.kept == ["19"]


def test_nights_tell_the_verdict_in_words() -> None:
    keys = Keys().press("n")
    keys.work()
    rows = keys.screen()
    assert any("12.6 °C low" in row for row in rows)
    assert any("21.4 °C high" in row for row in rows)
    assert any("not read" in row for row in rows)
    keys.press(*["down"] * 3)
    said = " ".join(" ".join(keys.screen()).split())
    assert "Said 14–21 °C for 06:30, woke to 12.6 °C. Coals none. Window found" in said


@pytest.mark.parametrize("key", ["e", "!", "f1", "f7", "f12"])
def test_emergency_is_one_key_from_every_page(key: str) -> None:
    for page in ("escape", "t", "n", "h"):
        keys = Keys().press(page, key)
        assert keys.row(0).startswith("  EMERGENCY")
        assert "1   OUT, everybody, now." in keys.row(2)


def test_emergency_while_writing_loses_nothing_and_no_key_but_escape_leads_away() -> None:
    keys = Keys().write("-11/18 4m").press("!")
    assert keys.row(0).startswith("  EMERGENCY")
    keys.press(*"qwert 12", "enter", "left", "tab")
    assert keys.row(0).startswith("  EMERGENCY")
    assert keys.desk.kept == [] and not keys.session.quitting
    keys.press("escape")
    assert keys.row(2) == "  write -11/18 4m"


def test_an_emergency_page_not_written_says_so_and_how() -> None:
    keys = Keys(FakeDesk(owner_page=EmergencyPage())).press("e")
    said = " ".join(" ".join(keys.screen()).split())
    assert "not written yet" in said and "OUT, everybody, now." in said


def test_a_long_emergency_page_can_be_read_to_its_end() -> None:
    page = EmergencyPage(lines=tuple(f"line {n}" for n in range(60)))
    keys = Keys(FakeDesk(owner_page=page)).press("e")
    assert not any("line 59" in row for row in keys.screen())
    keys.press(*["pagedown"] * 6)
    assert any("line 59" in row for row in keys.screen())
    assert keys.row(0).startswith("  EMERGENCY")


def test_help_tells_every_key_of_the_table() -> None:
    said = " ".join(" ".join(Keys().press("h").screen()).split())
    for key in KEYS:
        assert f"{key.shown} {key.says}" in said


def test_writing_on_help_goes_back_to_the_page_with_the_line() -> None:
    keys = Keys().press("t", "h", "-", "9")
    assert keys.session.page == "tonight"
    assert keys.row(2) == "  write -9"


def test_a_half_typed_line_is_kept_and_comes_back() -> None:
    desk = FakeDesk()
    Keys(desk).write("-11/1").session.close()
    assert desk.drafted == "-11/1"
    again = Keys(desk)
    assert again.row(2) == "  write -11/1"
    again.press("enter").session.close()
    assert desk.drafted == ""


def test_the_look_steps_through_four_and_is_kept() -> None:
    keys = Keys()
    seen = []
    for _ in range(4):
        keys.press("l")
        seen.append(keys.desk.looked)
    assert seen == ["snow", "sixteen", "none", "lamplight"]


def test_q_quits_but_quarter_does_not() -> None:
    keys = Keys().press("q")
    assert keys.session.quitting
    again = Keys().press(*"quarter", gap=0.2)
    assert not again.session.quitting
    assert again.session.line.text == "quarter"


def test_a_long_refusal_is_told_whole_and_the_alarms_keep_a_row() -> None:
    keys = Keys()
    sentence = "This line " + "is refused for a long reason, " * 4 + "end."
    keys.session.line.open_with("x")
    keys.session.answer = Answer("stop", sentence)
    said = " ".join(" ".join(keys.screen()[3:6]).split())
    assert "end." in said and "Alarms not tested" in said


def test_a_long_line_shows_the_part_around_the_caret() -> None:
    keys = Keys().write("9" + "0" * 100 + "7")
    assert keys.row(2).endswith("07")
    keys.press("home")
    assert keys.row(2).startswith("  write 90000")


def test_click_on_a_page_name_turns_and_on_a_row_chooses_then_opens() -> None:
    keys = Keys()
    spans = [span for row in keys.session.rows() for span in row if span.act]
    turn = next(span.act for span in spans if "Tonight" in span.text)
    keys.session.do(turn)
    assert keys.session.page == "tonight"
    keys.press("escape")
    choose = next(span.act for row in keys.session.rows() for span in row if span.text == "  20:55 ")
    keys.session.do(choose)
    assert keys.row(8).startswith(">")
    keys.session.do(choose)
    assert keys.session.line.text == "2m air 1/2"


def test_fahrenheit_owners_see_fahrenheit_on_chart_and_choices() -> None:
    keys = Keys(FakeDesk(units=OwnUnits(temperature="F", mass="lb"))).press("t")
    text = "\n".join(keys.screen()[7:])
    assert "59–70 °F" in text and "72 °F" in text and "out °F" in text


def test_a_long_fire_row_gives_up_its_times_before_the_air_both_ways() -> None:
    keys = Keys()
    fire = "3.1 kg at 19:16, air 40 % open (60 % closed) since 19:36, window cracked"
    keys.session.known.head = replace(keys.session.known.head, fire=fire)
    assert keys.row(1) == f"   fire {fire.replace(' %', '%')}"
    keys.session.known.head = replace(keys.session.known.head, fire=f"3 S 3 M {fire}")
    assert keys.row(1).endswith("air 40% open (60% closed), window cracked")


def test_an_empty_log_says_what_to_type() -> None:
    keys = Keys(FakeDesk(empty=True))
    assert keys.row(7) == "        No lines yet. Try -5/12, outside then inside."
    assert "inside not read yet" in keys.row(0)
    keys.press("n")
    keys.work()
    assert "No night told beforehand yet." in " ".join(keys.screen())


SIZES = [(80, 24), (120, 40), (60, 20), (60, 24), (100, 30), (79, 23), (200, 60), (40, 10), (20, 5), (1, 1)]


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("plain", [False, True])
def test_every_page_is_exactly_its_size(width: int, height: int, plain: bool) -> None:
    for page in ("escape", "t", "n", "h", "e"):
        keys = Keys(width=width, height=height, plain=plain).press(page)
        keys.work()
        rows = keys.session.rows()
        assert len(rows) == height
        assert {width_of(row) for row in rows} == {width}


@pytest.mark.parametrize("hour", range(0, 24, 1))
def test_every_hour_of_the_day_draws(hour: int) -> None:
    desk = FakeDesk(at=NOW.replace(hour=hour, minute=13))
    for page in ("escape", "t", "n"):
        keys = Keys(desk).press(page)
        keys.work()
        assert len(keys.screen()) == 24
        if page == "escape":
            assert any("╎" in row for row in keys.screen()[12:19]), hour


def test_the_clock_moves_by_itself() -> None:
    keys = Keys()
    keys.desk.at = NOW + timedelta(minutes=1)
    keys.session.tick()
    assert keys.row(0).startswith("  21:41")


def test_twenty_thousand_random_keys() -> None:
    """No crash, every screen whole, and only whole lines in the log."""
    rng = random.Random(7)
    keys = Keys()
    for n in range(20_000):
        key = rng.choice(MONKEY_KEYS)
        character = {"space": " ", "minus": "-", "slash": "/", "comma": ","}.get(
            key, key if len(key) == 1 else None
        )
        keys.at += rng.choice((0.01, 0.1, 0.5, 2.0))
        keys.session.press(key, character, keys.at)
        if n % 40 == 0:
            keys.session.width, keys.session.height = rng.randrange(1, 160), rng.randrange(1, 60)
            keys.work()
            assert len(keys.screen()) == keys.session.height
            keys.session.press("escape", None, keys.at + 0.5)
            keys.at += 1
    assert not keys.session.quitting
    assert all(line.strip() for line in keys.desk.kept)
    assert len(keys.desk.slow_calls) > 500  # it did record and turn pages, not only sit in emergency


def test_an_answer_too_long_for_its_three_rows_shows_that_it_is_cut() -> None:
    keys = Keys(width=60)
    keys.session.answer = Answer("stop", " ".join(["what is wrong and what to do about it"] * 6) + ".")
    assert keys.row(5).endswith("…")
    keys.session.answer = Answer("stop", "what is wrong. " * 9 + "Do this.")
    assert "…" not in "".join(keys.row(n) for n in (3, 4, 5)) and keys.row(5).endswith("Do this.")


def test_on_a_narrow_screen_what_is_first_shows_that_it_is_cut() -> None:
    """Its second row gave way to the answer, and the sentence broke off as if that were all of it."""
    keys = Keys(width=60)
    assert keys.row(5).strip(), "two rows of it"
    whole = f"{keys.row(4)[8:]} {keys.row(5).strip()}"
    keys.session.answer = Answer("stop", "what is wrong and what to do about it " * 2)
    assert keys.row(4).strip() and keys.row(5).startswith("  first ")
    assert keys.row(5).endswith(" …") and whole.startswith(keys.row(5)[8:-2])


def test_a_key_that_settles_says_so_when_nothing_waits_for_it() -> None:
    """Pressed again, k did nothing and said nothing, as if it were broken."""
    keys = Keys().press("k")
    assert keys.row(3).startswith("  saved ")
    kept = list(keys.desk.kept)
    keys.press("k")
    assert keys.row(3) == "   none Nothing waits that k would settle."
    assert keys.desk.kept == kept


@pytest.mark.parametrize("word", sorted(WORDS_BOUND))
def test_a_word_that_does_something_is_not_said_to_be_a_note(word: str) -> None:
    """It read "note leaving", and Enter opened the list."""
    keys = Keys().press(" ").write(word)
    if WORDS_BOUND[word].name in ("record", "undo", "redo"):
        assert keys.row(3) == f"  reads 21:40 {word}"  # the desk's own words
    else:
        assert keys.row(3).startswith(("  reads opens ", "  reads does as ", "  reads prints "))
        assert keys.press("s").row(3) == f"  reads 21:40 {word}s", "one letter more is a line again"
    keys.session.line.changing = "an-entry"
    keys.press("backspace")
    assert keys.row(3) == f"  reads 21:40 {keys.session.line.text}", "a line that is changed is a line"


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (120, 40), (200, 50)])
def test_help_says_how_to_close_it_and_where_it_goes_on(width: int, height: int) -> None:
    """At 60 columns neither was said; at 80 the chart's signs lay below the last row unannounced."""
    keys = Keys(width=width, height=height).press("h")
    top, whole = keys.row(0), any("of 10 nights told so" in row for row in keys.screen())
    assert "Esc" in top and ("↑ ↓" in top) is not whole
    for _ in range(40):
        keys.press("down")
    assert any("of 10 nights told so" in row for row in keys.screen())


def test_tab_tells_the_choice_that_is_looked_at() -> None:
    """It told the reasons and cautions of the first choice, whichever was chosen."""
    keys = Keys().press("t", "down", "down", "tab")
    assert keys.row(6).startswith(" choice 3 M 22:30")
    assert "UNTRIED" not in " ".join(keys.screen()), "that is the first one's"
    back = keys.press("tab").screen()
    assert any(row.startswith(">    or 3 M 22:30") for row in back), "the same is chosen when one comes back"


def test_all_that_a_choice_rests_on_can_be_read_on_a_small_window() -> None:
    """At 60 by 20 the end was cut off, cautions among it, and no key moved the page."""
    keys = Keys(width=60, height=20).press("t")
    evening = keys.session.known.evening
    assert evening is not None
    long = tuple(f"Caution {n}: leave air and flue open until the stove is cold." for n in range(12))
    keys.session.known.evening = replace(evening, answer=replace(evening.answer, cautions=long))
    keys.press("tab")
    assert keys.screen()[-2].strip().startswith("↓ ") and "Caution 11" not in " ".join(keys.screen())
    seen = " ".join(" ".join(keys.press("down").screen()) for _ in range(30))
    assert "Caution 11: leave air and flue open" in seen
    assert "Tab or Esc: back to the chart." in keys.screen()[-2]
    assert "Caution 0:" in " ".join(keys.press("tab", "tab").screen()), "from the top again"


def test_tab_tells_all_of_a_plan_while_it_is_typed() -> None:
    """The row of its cautions ended with "Tab", and Tab did nothing while the line was open."""
    keys = Keys().press("t").write("-11/18 4m").press("tab")
    keys.work()
    assert keys.session.page == "grounds" and keys.row(2) == "  write -11/18 4m"
    assert "Tab or Esc: back to the chart." in " ".join(keys.screen())
    assert keys.press("tab").session.page == "tonight"
    small = Keys(width=60, height=20).press("t").write("-11/18 4m")
    small.work()
    tried = small.session.known.tried
    assert tried is not None
    reasons = tuple(f"Reason {n}: it is so, and it was so on other nights." for n in range(20))
    small.session.known.tried = replace(tried, choice=replace(tried.choice, reasons=reasons))
    assert small.press("tab").screen()[-2].strip().startswith("↓ ")
    assert "Tab or Esc: back" in small.press(*["down"] * 20).screen()[-2]
    assert small.press(*["up"] * 20).screen()[-2].strip().startswith("↓ ")
    assert small.row(2) == "  write -11/18 4m"
    keys = Keys().press("-", "9", "tab", "down", "up", "pagedown")
    assert keys.session.page == "now", "elsewhere there are no reasons to tell"
    assert keys.press("escape").session.line.is_open is False


def test_choices_stand_in_columns_on_a_narrow_window_too() -> None:
    """Two loads took two columns more than the wood has: air and waking stood out of line."""
    keys = Keys(width=60).press("t")
    evening = keys.session.known.evening
    assert evening is not None
    first, second, *rest = evening.answer.choices
    load = replace(second.loads[0], pieces="1S 1M 1L")
    twice = replace(second, loads=(load, replace(load, at=load.at + timedelta(hours=3))))
    choices = (first, twice, *rest)
    keys.session.known.evening = replace(evening, answer=replace(evening.answer, choices=choices))
    rows = [row for row in keys.screen() if " air " in row and " wake " in row]
    assert len(rows) == 3 and "1S1M1L, 1S1M1L" in "".join(rows)
    assert len({(row.index(" air "), row.index(" wake ")) for row in rows}) == 1


def test_of_an_older_log_it_is_said_that_only_the_newest_lines_are_listed() -> None:
    """Months after a stay the newest 200 are listed: "196 more lines" of a log of 900 was no true count."""
    keys = Keys()
    known = keys.session.known
    known.latest = tuple(replace(known.latest[0], event_id=str(n)) for n in range(LINES_LISTED))
    known.head = replace(known.head, stay="", stay_lines=0)
    (said,) = [row.strip() for row in keys.screen() if "more" in row and "Enter opens one" in row]
    assert said == "196 more, the newest 200 lines; ↓ Enter opens one to change it"
    known.latest = known.latest[:-1]
    assert any("195 more lines; ↓ Enter" in row for row in keys.screen())
