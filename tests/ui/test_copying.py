"""A paper weekend copied in by keys alone, on a real log: what stands on the screen, what the log has."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from fake_desk import MONKEY_KEYS

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.records import Cabin, Coals, Description, How, Mark, Site, Stove, WoodPile
from logbook.results.copying import COPY_CELLS
from logbook.ui.cells import text_of
from logbook.ui.copying import DATE, CopyForm
from logbook.ui.session import Session

ZONE = ZoneInfo("Europe/Oslo")
NOW = datetime(2025, 12, 7, 19, 20, tzinfo=ZONE)
CABIN = Description(
    cabin=Cabin(floor_m2=28, volume_m3=75),
    stove=Stove(max_load_kg=8.0),
    site=Site(name="Oddwater", timezone="Europe/Oslo"),
    wood=WoodPile(pieces_kg=(("S", 0.8), ("M", 1.6), ("L", 2.8))),
)

# Two sheets of sixteen rows: one made up and dense (a load in eleven of them), one the demo's first rows,
# merged by minute. › next cell, ⏎ as above and on, ↓ end of the row, → the word offered; i, w, a, n go
# straight to their columns.
WEEKEND = (
    "1740›-2›3›2s›full›ar→↓"
    "1815w3m›1/2↓"
    "1905i11↓"
    "20i16›2m›1/2↓"
    "2110›-5›19.5›1m›⏎↓"
    "2230i20›2m›1/3›bed↓"
    "7›-8›13nwo→ co→ few↓"
    "715w2m›full↓"
    "8i15›2m›1/2↓"
    "1130›-4›20↓"
    "16›-3›14›2m›1/2↓"
    "19i18›2m›⏎↓"
    "2215›-7›21›2m›1/3›bed↓"
    "730›-9›14.5nwo→↓"
    "745w2m›1/2↓"
    "12›-6›17nleft↓"
)
DEMO_ROWS = (
    "1740›5›5.5nar→↓"
    "1749w2.4›100›k→↓"
    "1811w2s1m↓"
    "1840›6›10.5›3.7›60↓"
    "1905›a35↓"
    "2025i21↓"
    "2124›5›20›1s2m›60↓"
    "22›a40↓"
    "2226›4›23.5nco→ g→↓"
    "2231w5.5›90↓"
    "2242nbed↓"
    "652›5.5›21nwo→ co→ n→↓"
    "734w2.3›100›k→↓"
    "748›5›20›2.7›80↓"
    "813›a50↓"
    "933i24.5↓"
)
KEYS_A_SECOND = 1.5
"""One finger in thin gloves. ASSUMED, as in the table of tasks."""
NAMED = {"›": "tab", "⏎": "enter", "↓": "down", "→": "right"}


class Keys:
    """A session on a real log. ``count`` counts every key; nothing slow is reckoned."""

    def __init__(self, desk: AppDesk, *, width: int = 80, height: int = 24) -> None:
        self.desk = desk
        self.session = Session(desk)
        self.session.width, self.session.height = width, height
        self.count, self.at = 0, 0.0

    def press(self, *keys: str) -> Keys:
        for key in keys:
            self.at += 2.0
            self.count += 1
            named = {" ": "space", "!": "exclamation_mark"}.get(key, key)
            self.session.press(named, key if len(key) == 1 else None, self.at)
            self.session.take_jobs()
        return self

    def type(self, text: str) -> Keys:
        return self.press(*(NAMED.get(sign, sign) for sign in text))

    def rows(self) -> list[str]:
        return [text_of(row).rstrip() for row in self.session.rows()]

    @property
    def text(self) -> str:
        return "\n".join(self.rows())


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[AppDesk]:
    found = AppDesk(Place(tmp_path / "cabin.db"), at=NOW)
    found._log().add_description(CABIN)
    found._log().set_setting("air_lever_reads", "open")
    yield found
    found.close()


def copying(desk: AppDesk, **size: int) -> Keys:
    keys = Keys(desk, **size).press("p", "enter")
    assert keys.session.page == "copying"
    return keys


def test_a_dense_weekend_of_sixteen_rows_takes_three_minutes_in_gloves(desk: AppDesk) -> None:
    keys = copying(desk).type("⏎").type(WEEKEND).press("enter")
    events = desk._log().current_entries()
    assert len(events) == 16 and {e.how for e in events} == {How.PAPER}
    assert len({e.batch for e in events}) == 1
    entries = [e.entry for e in events if e.entry]
    said = [f"{e.at.astimezone(ZONE):%a %H:%M}" for e in entries]
    assert said[5:8] == ["Fri 22:30", "Sat 07:00", "Sat 07:15"] and said[-1] == "Sun 12:00"
    assert [e.air_open_pct for e in entries[3:5]] == [50, 50], "Enter repeats the cell above"
    assert keys.rows()[3].startswith("  saved 16 rows from paper, Fri 5 Dec 2025. u takes all back.")
    assert keys.session.page == "now"
    assert keys.count / KEYS_A_SECOND <= 180, keys.count


def test_the_demos_first_sixteen_rows_take_at_most_230_keys(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›").type(DEMO_ROWS).press("enter")
    entries = [e.entry for e in desk._log().current_entries() if e.entry]
    assert len(entries) == 16 and keys.count <= 230, keys.count
    assert [e.air_open_pct for e in entries][:5] == [None, 100, None, 60, 35]
    assert (entries[8].outdoor_c, entries[8].indoor_c, entries[8].coals) == (4, 23.5, Coals.GOOD)
    assert entries[1].kindling and entries[10].mark is Mark.BED and entries[15].indoor_c == 24.5


def test_u_takes_the_whole_sheet_back_and_r_brings_it_again(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›").type(WEEKEND).press("enter", "u")
    assert desk._log().current_entries() == ()
    keys.press("r")
    assert len(desk._log().current_entries()) == 16


def test_the_same_sheet_again_is_warned_of_and_adds_nothing(desk: AppDesk) -> None:
    copying(desk).type("5 dec›").type(WEEKEND).press("enter")
    keys = copying(desk).type("5 dec›").type(WEEKEND).press("enter")
    assert keys.rows()[3] == "   stop All 16 rows are in the log since Sun 7 Dec 19:20. Nothing added."
    assert len(desk._log().current_entries()) == 16
    assert keys.session.page == "copying", "it stays typed"


def test_each_row_says_what_it_reads_and_stands_in_the_owners_words(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›1740›-2›3›2s›full")
    assert (
        keys.rows()[3] == ("  reads Fri 5 Dec: 17:40 2 S (1.6 kg), air all open (none closed); inside 3.0")
        or "17:40" in keys.rows()[3]
    )
    assert ">Fri  5 1740__  -2______  3_______  2s____  full_" in keys.text
    keys.type("↓")
    assert " Fri  5 17:40   −2 °C     3.0 °C    2 S     all open (none closed)" in keys.text


def test_a_time_that_runs_back_shows_the_next_day_in_the_margin(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›2230››20↓0700››13↓")
    assert " Fri  5 22:30" in keys.text and " Sat  6 07:00" in keys.text


def test_a_row_that_cannot_be_read_shows_why_and_stays_typed_and_stops_the_rest(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›1740››xyz↓1905››11↓").press("enter")
    assert desk._log().current_entries() == ()
    assert "stop 1740__  ________  xyz" in keys.text
    assert keys.rows()[3].startswith('   stop "in xyz" can\'t be read here.')
    assert keys.session.paper.form is not None and keys.session.paper.form.row == 0, "on the row to mend"
    keys.type("››").press("backspace", "backspace", "backspace").type("9↓↓").press("enter")
    assert len(desk._log().current_entries()) == 2


def test_the_reason_stands_beneath_its_row_while_another_is_written(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›1740››xyz↓")
    assert any('"in xyz" can\'t be read here' in row for row in keys.rows()[8:])


def test_escape_keeps_every_cell_and_p_goes_on(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›1740›-2›3↓19").press("escape")
    assert keys.session.page == "paper" and "2 rows typed, Enter goes on" in keys.text
    again = copying(AppDesk(desk.place, at=NOW))
    form = again.session.paper.form
    assert form is not None and form.cells[:2] == [["1740", "-2", "3", "", "", ""], ["19", *[""] * 5]]
    assert form.date == "5 dec" and form.row == 2


def test_a_pause_keeps_the_sheet_so_a_power_cut_costs_nothing(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›1740›-2")
    keys.session.keep_draft()  # the app does so after a second's rest
    assert AppDesk(desk.place, at=NOW).sheet_draft().rows == (("1740", "-2", "", "", "", ""),)


@pytest.mark.parametrize("key", ["f1", "!", "f12"])
def test_the_emergency_page_is_one_key_away_and_the_sheet_still_there(desk: AppDesk, key: str) -> None:
    keys = copying(desk).type("5 dec›1740›-2").press(key)
    assert keys.session.page == "emergency"
    keys.press("escape")
    assert keys.session.page == "copying" and "-2" in keys.text


def test_letters_are_text_here_and_record_nothing(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›").type("jkdxuvq")
    assert not keys.session.quitting and desk._log().current_entries() == ()
    assert keys.session.paper.form is not None and keys.session.paper.form.text == "jkdxuvq"


def test_enter_in_the_middle_of_a_row_never_keeps_the_sheet(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›1740››3")
    keys.press(*["enter"] * 3)
    assert keys.session.page == "copying" and desk._log().current_entries() == ()


def test_a_held_arrow_keeps_nothing(desk: AppDesk) -> None:
    keys = copying(desk).type("5 dec›1740››3").press(*["down"] * 40)
    assert desk._log().current_entries() == () and keys.session.page == "copying"


def test_without_a_date_nothing_is_kept_and_the_date_is_asked(desk: AppDesk) -> None:
    keys = copying(desk).type("↓1740››3↓").press("enter")
    assert keys.session.page == "copying" and desk._log().current_entries() == ()
    assert "Which day does the sheet begin?" in keys.text
    assert keys.session.paper.form is not None and keys.session.paper.form.row == DATE


def test_a_question_is_asked_at_the_end_and_one_letter_answers_it(tmp_path: Path) -> None:
    desk = AppDesk(Place(tmp_path / "new.db"), at=NOW)
    desk._log().add_description(CABIN)
    keys = copying(desk).type("5 dec›1740›››2s›1/4↓1900›››2s›1/4↓").press("enter")
    assert keys.rows()[3].startswith("   asks 1/4 on your lever")
    keys.press("x")
    assert desk._log().current_entries() == (), "no other letter answers"
    keys.press("c")
    entries = [e.entry for e in desk._log().current_entries()]
    assert [e.air_open_pct for e in entries if e] == [75, 75]
    desk.close()


def test_escape_from_the_question_goes_back_to_the_cells(tmp_path: Path) -> None:
    desk = AppDesk(Place(tmp_path / "new.db"), at=NOW)
    desk._log().add_description(CABIN)
    keys = copying(desk).type("5 dec›1740›››2s›1/4↓").press("enter", "escape")
    assert keys.session.page == "copying"
    assert keys.type("5").session.paper.form.text == "17405"  # type: ignore[union-attr]
    desk.close()


def test_the_sheet_kept_last_can_be_opened_again_to_mend_it(desk: AppDesk) -> None:
    keys = copying(desk).type("6 dec›1740››3↓").press("enter", "u", "p", "down", "enter")
    form = keys.session.paper.form
    assert form is not None and form.date == "6 dec" and form.cells[0][0] == "1740"


def test_the_word_paper_opens_it_and_print_still_prints(desk: AppDesk) -> None:
    keys = Keys(desk).type(" paper").press("enter")
    assert keys.session.page == "paper"
    keys.press("down", "enter")
    assert "emergency page is not written yet" in keys.text


def test_a_disk_that_is_full_costs_no_cell(desk: AppDesk, monkeypatch: pytest.MonkeyPatch) -> None:
    from logbook.errors import LogFileError  # noqa: PLC0415 - only here

    keys = copying(desk).type("5 dec›1740››3↓")

    def full(*_: object) -> None:
        raise LogFileError("The disk is full.\nFree some space, Enter tries again.")

    with monkeypatch.context() as broken:
        broken.setattr(AppDesk, "keep_sheet", full)
        keys.press("enter")
        assert keys.rows()[3].startswith("   stop The disk is full.") and "17:40" in keys.text
    keys.press("enter")
    assert len(desk._log().current_entries()) == 1


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40), (200, 60)])
def test_every_row_is_exactly_the_width(desk: AppDesk, size: tuple[int, int]) -> None:
    keys = copying(desk, width=size[0], height=size[1]).type("5 dec›").type(WEEKEND)
    keys.type("1300›-6›17›2m 1l 3s›1/3›" + "a very long note about the roof vent " * 4)
    rows = keys.session.rows()
    assert len(rows) == size[1] and {len(text_of(row)) for row in rows} == {size[0]}
    assert any(row.startswith(">") for row in keys.rows()), "the row being written is always in sight"


def test_reading_the_sheet_anew_is_quick_enough_for_every_key(desk: AppDesk) -> None:
    import time  # noqa: PLC0415 - only here

    keys = copying(desk).type("5 dec›").type(WEEKEND).type("1300›-6›1")
    began = time.process_time()
    for _ in range(10):
        keys.type("7").press("backspace")
        keys.session.rows()
    assert (time.process_time() - began) / 20 < 0.05


@pytest.mark.parametrize("seed", range(4))
def test_random_keys_never_crash_and_keep_nothing_but_whole_sheets(desk: AppDesk, seed: int) -> None:
    dice = random.Random(seed)
    keys = copying(desk).type("5 dec›")
    for _ in range(400):
        if keys.session.page != "copying":
            keys.press("p", "enter")
        keys.press(dice.choice((*"1740/-2.3sm ", *MONKEY_KEYS, "tab", "down", "enter")))
        if dice.random() < 0.05:
            assert len(keys.session.rows()) == 24
    batches = [e.how for e in desk._log().current_entries()]
    assert set(batches) <= {How.PAPER, How.TYPED}


def test_the_form_alone_moves_as_told() -> None:
    form = CopyForm()
    assert form.press("tab", None) == "moved" and (form.row, form.column) == (0, 0)
    for sign in "1740":
        form.press(sign, sign)
    form.press("left", None)
    form.press("backspace", None)
    assert form.text == "170"
    form.press("end", None)
    form.press("right", None)
    assert (form.row, form.column) == (0, 1)
    form.press("left", None)
    assert (form.row, form.column, form.caret) == (0, 0, 3)
    form.press("shift+tab", None)
    assert form.row == DATE


@pytest.mark.parametrize(
    ("before", "letter", "column"),
    [("1740", "w", 3), ("1740", "i", 2), ("1740", "n", 5), ("1740", "W", 3), ("7", "a", 0), ("", "w", 0),
     ("fri ", "w", 0), ("1740", "x", 0)],
)  # fmt: skip
def test_a_columns_first_letter_goes_straight_to_it(before: str, letter: str, column: int) -> None:
    """Not where a letter can be meant: 7am, wed, fri."""
    form = CopyForm(row=0)
    for sign in before + letter:
        form.press(sign, sign)
    assert form.column == column
    assert form.cells[0][0] == (before if column else before + letter)


def test_letters_are_words_in_wood_air_and_note() -> None:
    form = CopyForm(row=0, column=3)
    for sign in "2m an":
        form.press(sign, sign)
    assert form.cells[0][3] == "2m an"


def test_a_long_note_is_not_cut_off_and_pasted_words_stay_apart() -> None:
    """A cell held 200 characters: the end of a long note was gone without a word."""
    form = CopyForm(date="5 dec")
    form.go(0, COPY_CELLS.index("note"))
    form.paste("mouse " * 100)
    form.paste(" behind the box")
    assert len(form.text) == 600 - 1 + 15 and form.text.endswith("mouse behind the box")


@pytest.mark.parametrize("width", [60, 80])
def test_nothing_of_the_sheets_words_is_cut_off_without_a_sign(desk: AppDesk, width: int) -> None:
    """It said "1 row, 1 can't be re", and under a row the first half of what is wrong with it."""
    keys = copying(desk, width=width, height=24).type("5 dec›1740›-2›3›5x↓1905›-2›99↓")
    title = next(row for row in keys.rows() if "Begins 5 dec" in row)
    assert title.endswith(("2 rows, 1 not read", "2 rows, 1 can't be read yet"))
    why = [row for row in keys.rows() if '"5x" can' in row or "hotter than anybody" in row]
    assert len(why) == 2 and all(row.endswith((".", " …")) for row in why), why
    assert any(row.endswith("Enter goes there.") for row in keys.rows())
