"""The writing line by keys alone: what is text, what is an act, and what a burst becomes."""

from __future__ import annotations

import pytest

from logbook.entry.line import LONGEST_LINE
from logbook.ui.cells import Act
from logbook.ui.keys import BOUND, F_KEYS, KEYS, LETTERS_GUARDED, PAGES
from logbook.ui.line import MOST_CHARACTERS, WritingLine

NAMES = {
    " ": "space",
    "-": "minus",
    "/": "slash",
    ".": "full_stop",
    "!": "exclamation_mark",
    "?": "question_mark",
}


def typed(line: WritingLine, text: str, *, start: float = 0.0, gap: float = 0.0) -> list[Act]:
    """Type characters one by one, ``gap`` seconds apart."""
    acts: list[Act] = []
    for n, character in enumerate(text):
        acts += line.press(NAMES.get(character, character), character, start + n * gap)
    return acts


def names(acts: list[Act] | tuple[Act, ...]) -> list[str]:
    return [act.name for act in acts]


@pytest.mark.parametrize("text", ["-11/18 4m 1/4", "7am low 9 coals few", ".5", "−4", "18,5"])
def test_a_line_that_begins_with_a_number_or_sign_is_text_from_its_first_character(text: str) -> None:
    line = WritingLine()
    acts = typed(line, text)  # all at the same instant: a burst
    assert line.text == text
    assert set(names(acts)) == {"typed"}


def test_space_opens_an_empty_line_and_letters_then_write() -> None:
    line = WritingLine()
    typed(line, " note mouse")
    assert line.text == "note mouse"


def test_a_letter_at_rest_acts_and_writes_nothing() -> None:
    line = WritingLine()
    assert line.press("t", "t", 0.0) == (Act("page", "tonight"),)
    assert not line.is_open


def test_capital_letters_act_like_small_ones() -> None:
    # Caps Lock is found by gloves.
    assert WritingLine().press("T", "T", 0.0) == (Act("page", "tonight"),)


def test_two_different_letters_within_the_guard_are_a_word_and_the_first_is_taken_back() -> None:
    line = WritingLine()
    acts = typed(line, "note mouse", gap=0.2)
    assert names(acts)[:3] == ["page", "unsay", "typed"]
    assert line.text == "note mouse"


def test_a_dead_letter_begins_a_word_too() -> None:
    line = WritingLine()
    acts = typed(line, "as", gap=0.3)  # "ash out"; a alone does nothing
    assert (line.text, names(acts)) == ("as", ["typed"])


def test_past_the_guard_each_letter_acts_by_itself() -> None:
    line = WritingLine()
    assert names(typed(line, "tn", gap=0.81)) == ["page", "page"]
    assert not line.is_open


def test_the_same_letter_held_acts_once() -> None:
    line = WritingLine()
    acts = typed(line, "u" * 60, gap=0.05)  # three seconds of key repeat
    assert names(acts) == ["undo"]


def test_after_e_no_letter_takes_the_emergency_page_away() -> None:
    line = WritingLine()
    acts = typed(line, "ew", gap=0.1)
    assert acts[0] == Act("page", "emergency")
    assert not line.is_open


@pytest.mark.parametrize("key", [*F_KEYS, "exclamation_mark"])
def test_f_keys_and_exclamation_reach_emergency_while_writing_and_keep_the_text(key: str) -> None:
    line = WritingLine()
    typed(line, "-11/18 4")
    assert line.press(key, "!" if key == "exclamation_mark" else None, 1.0) == (Act("page", "emergency"),)
    assert line.text == "-11/18 4"


def test_pasted_text_may_hold_an_exclamation_mark_and_line_breaks() -> None:
    line = WritingLine()
    assert names(line.paste("note wet!\nfloor\x1b\t ")) == ["typed"]
    assert line.text == "note wet! floor"


def test_an_alt_chord_is_neither_act_nor_text() -> None:
    line = WritingLine()
    assert line.press("alt+t", "t", 0.0) == ()
    assert names(line.press("escape", None, 1.0)) == ["rest"]
    assert line.press("t", "t", 1.03) == ()  # Esc and t within 50 ms: the same chord, split
    assert names(line.press("t", "t", 2.0)) == ["page"]


def test_enter_keeps_and_on_an_empty_line_only_closes() -> None:
    line = WritingLine()
    typed(line, "-9")
    assert names(line.press("enter", None, 1.0)) == ["keep"]
    empty = WritingLine()
    typed(empty, "  ")
    assert names(empty.press("enter", None, 1.0)) == ["closed"]
    assert not empty.is_open


def test_enter_at_rest_only_opens_a_chosen_row() -> None:
    assert WritingLine().press("enter", "\r", 0.0) == (Act("open"),)


def test_escape_puts_the_text_aside_and_up_brings_it_back() -> None:
    line = WritingLine()
    typed(line, "-9/18")
    assert names(line.press("escape", None, 1.0)) == ["closed"]
    typed(line, " ", start=2.0)
    line.press("up", None, 3.0)
    assert line.text == "-9/18"


def test_the_caret_moves_and_mends() -> None:
    line = WritingLine()
    typed(line, "-11/8")
    for key in ("left", "1"):
        line.press(key, key if key == "1" else None, 1.0)
    assert line.text == "-11/18"
    line.press("home", None, 1.0)
    line.press("delete", None, 1.0)
    assert (line.text, line.caret) == ("11/18", 0)
    line.press("backspace", "\x7f", 1.0)
    assert line.text == "11/18"  # nothing before the caret
    line.press("end", None, 1.0)
    line.press("backspace", "\x7f", 1.0)
    assert line.text == "11/1"


def test_tab_takes_the_offered_word_and_writes_nothing_when_none_is_offered() -> None:
    line = WritingLine()
    typed(line, "4m bir")
    assert line.press("tab", "\t", 1.0) == (Act("all"),)  # on Tonight: the whole reasons of what is typed
    assert line.text == "4m bir"
    line.offered = "ch"
    line.press("tab", "\t", 1.0)
    assert line.text == "4m birch"


def test_a_question_takes_its_letters_only_and_escape_goes_back_to_the_text() -> None:
    line = WritingLine()
    typed(line, "65")
    line.ask(("enter", "c"))
    assert line.press("x", "x", 1.0) == ()
    assert line.press("C", "C", 1.0) == (Act("answer", "c"),)
    line.ask(("enter", "c"))
    assert names(line.press("escape", None, 2.0)) == ["typed"]
    assert line.text == "65"


@pytest.mark.parametrize("key", [key for key in KEYS if key.words])
def test_every_word_of_the_table_does_what_its_key_does(key) -> None:
    for word in key.words:
        line = WritingLine()
        typed(line, f" {word.upper()} ")
        acts = line.press("enter", None, 9.0)
        assert acts[-1] == key.act
        assert not line.is_open


def test_a_line_being_changed_is_never_taken_for_a_command() -> None:
    line = WritingLine()
    line.open_with("undo", changing="id-7")
    assert names(line.press("enter", None, 1.0)) == ["keep"]


def test_text_beyond_the_longest_line_is_left_out() -> None:
    line = WritingLine()
    line.paste("9" * 50_000)
    assert len(line.text) == MOST_CHARACTERS


def test_a_line_takes_more_than_is_ever_kept_so_that_too_much_is_told_and_not_cut_off() -> None:
    """It held 500 characters: the end of a long note was gone without a word, on changing it too."""
    assert MOST_CHARACTERS > LONGEST_LINE
    line = WritingLine()
    line.open_with("note " + "a" * (LONGEST_LINE - 5), changing="id-7")
    line.paste("end")
    assert len(line.text) == LONGEST_LINE + 3 and line.text.endswith("aend")


@pytest.mark.parametrize(
    ("before", "pasted", "whole"),
    [
        ("-11/18", " 4m 1/4", "-11/18 4m 1/4"),  # it was written "-11/184m 1/4"
        ("-11/18", "\n4m\n", "-11/18 4m"),
        ("-11/18 ", " 4m", "-11/18 4m"),
        ("", "  4m", "4m"),
        ("-11/1", "8", "-11/18"),
    ],
)
def test_pasted_text_that_begins_with_a_blank_stays_apart_from_what_stands_before_it(
    before: str, pasted: str, whole: str
) -> None:
    line = WritingLine()
    line.open_with(before)
    line.paste(pasted)
    assert line.text == whole


def test_no_key_is_bound_twice_and_the_table_is_whole() -> None:
    bound = [name for key in KEYS if key.act for name in key.keys]
    assert len(bound) == len(set(bound))
    single = {name for name in BOUND if len(name) == 1}
    assert single - set("e") == set(LETTERS_GUARDED)  # every letter but e can be taken back
    assert {"now", "tonight", "nights", "cabin", "year"} == set(PAGES)


def test_the_acts_that_matter_begin_no_word_of_the_entry_line() -> None:
    # A slow typist must not record by starting a word: j, k, d, x begin none (screens, principle 6).
    words = "air ash bed birch box coals cracked fire full heater last load low note open out same shut split"
    words += " tonight window woke yesterday mon tue wed thu fri sat sun good few none"
    assert not {word[0] for word in words.split()} & set("jkdx")
