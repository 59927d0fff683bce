"""A paper weekend copied in: what each row becomes in the log, what stays typed, and the second time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.errors import EntryError
from logbook.records import Cabin, Coals, Description, How, Mark, Site, Stove, WoodPile
from logbook.results.app import Standing
from logbook.results.copying import Sheet, SheetRead

ZONE = ZoneInfo("Europe/Oslo")
NOW = datetime(2025, 12, 7, 19, 20, tzinfo=ZONE)
CABIN = Description(
    cabin=Cabin(floor_m2=28, volume_m3=75),
    stove=Stove(max_load_kg=8.0),
    site=Site(name="Oddwater", timezone="Europe/Oslo"),
    wood=WoodPile(pieces_kg=(("S", 0.8), ("M", 1.6), ("L", 2.8))),
)
WEEKEND = (
    ("1740", "-2", "3", "2s", "full", "arrived, kindling"),
    ("1905", "", "11.5", "3m", "", ""),
    ("2230", "-5", "19", "1m", "1/2", "bed"),
    ("0700", "-8", "13", "", "", "woke, coals few"),
    ("710", "", "", "2m", "1/2", "owl on the ridge"),
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[AppDesk]:
    found = AppDesk(Place(tmp_path / "cabin.db"), at=NOW)
    found._log().add_description(CABIN)
    found._log().set_setting("air_lever_reads", "open")
    yield found
    found.close()


def typed(*rows: tuple[str, ...], date: str = "5 dec") -> Sheet:
    return Sheet(date=date, rows=rows)


def one(desk: AppDesk, *cells: str, date: str = "5 dec") -> tuple[Standing | None, str]:
    row = desk.read_sheet(typed(cells, date=date)).rows[0]
    return row.standing, row.sentence


def local(moment: datetime) -> str:
    return f"{moment.astimezone(ZONE):%a %H:%M}"


def test_a_weekend_becomes_entries_on_the_days_that_follow_from_its_times(desk: AppDesk) -> None:
    read = desk.read_sheet(typed(*WEEKEND))
    assert read.day == "Fri 5 Dec 2025"
    assert [row.day for row in read.rows] == ["Fri 5 Dec", "", "", "Sat 6 Dec", ""]
    kept = desk.keep_sheet(read)
    assert kept.sentence == "5 rows from paper, Fri 5 Dec 2025. u takes all back."
    events = desk._log().current_entries()
    entries = [event.entry for event in events if event.entry]
    assert [local(e.at) for e in entries] == [
        "Fri 17:40", "Fri 19:05", "Fri 22:30", "Sat 07:00", "Sat 07:10",
    ]  # fmt: skip
    first, second, third, fourth, fifth = entries
    assert (first.outdoor_c, first.indoor_c, first.load_kg, first.air_open_pct) == (-2, 3, 1.6, 100)
    assert first.mark is Mark.ARRIVED and first.kindling
    assert (second.indoor_c, second.pieces, second.air_open_pct) == (11.5, "3 M", None)
    assert (third.air_open_pct, third.mark) == (50, Mark.BED)
    assert (fourth.mark, fourth.coals, fourth.load_kg) == (Mark.WOKE, Coals.FEW, None)
    assert fifth.note == "owl on the ridge"
    assert {event.how for event in events} == {How.PAPER}
    assert len({event.batch for event in events}) == 1


def test_one_undo_takes_the_whole_sheet_back_and_it_can_be_kept_again(desk: AppDesk) -> None:
    desk.keep_sheet(desk.read_sheet(typed(*WEEKEND)))
    desk.undo()
    assert desk._log().current_entries() == ()
    desk.keep_sheet(desk.read_sheet(typed(*WEEKEND)))
    assert len(desk._log().current_entries()) == 5


def test_the_same_sheet_a_second_time_adds_nothing_and_says_since_when(desk: AppDesk) -> None:
    desk.keep_sheet(desk.read_sheet(typed(*WEEKEND)))
    with pytest.raises(
        EntryError, match=r"All 5 rows are in the log since Sun 7 Dec 19:20\.\nNothing added\."
    ):
        desk.keep_sheet(desk.read_sheet(typed(*WEEKEND)))
    assert len(desk._log().current_entries()) == 5


def test_a_row_edited_by_hand_since_does_not_come_in_anew(desk: AppDesk) -> None:
    desk.keep_sheet(desk.read_sheet(typed(*WEEKEND)))
    event = desk._log().current_entries()[1]
    desk.edit(event.uuid, desk.read("in 12.5"))
    with pytest.raises(EntryError, match="All 5 rows are in the log"):
        desk.keep_sheet(desk.read_sheet(typed(*WEEKEND)))


def test_of_a_longer_sheet_only_the_new_rows_go_in(desk: AppDesk) -> None:
    desk.keep_sheet(desk.read_sheet(typed(*WEEKEND)))
    more = (*WEEKEND, ("930", "", "17", "", "", ""))
    kept = desk.keep_sheet(desk.read_sheet(typed(*more)))
    assert kept.sentence.startswith("1 row from paper, Fri 5 Dec 2025. 5 were in the log already.")
    assert len(desk._log().current_entries()) == 6


@pytest.mark.parametrize(
    ("cells", "why"),
    [
        (("2510", "", "3", "", "", ""), "25:10 is no clock time"),
        (("1740", "", "abc", "", "", ""), '"in abc" can\'t be read here'),
        (("1740", "", "", "2x", "", ""), '"2x" can\'t be read here'),
        (("1740", "", "", "", "5/4", ""), "5/4 is more than open"),
        (("1740", "", "95", "", "", ""), "95"),
        (("", "-2", "3", "", "", ""), "A row needs its time"),
        (("1740", "", "", "", "", ""), "17:40 and nothing else"),
    ],
)
def test_a_row_that_cannot_be_read_says_why_and_nothing_is_kept(
    desk: AppDesk, cells: tuple[str, ...], why: str
) -> None:
    read = desk.read_sheet(typed(*WEEKEND, cells))
    assert read.rows[-1].standing is not Standing.READS and why in read.rows[-1].sentence
    with pytest.raises(EntryError, match="Row 6"):
        desk.keep_sheet(read)
    assert desk._log().current_entries() == ()


def test_a_bare_number_of_wood_is_kilograms_and_of_air_per_cent(desk: AppDesk) -> None:
    desk.keep_sheet(desk.read_sheet(typed(("1740", "", "", "3,2", "60", ""))))
    entry = desk._log().current_entries()[0].entry
    assert entry is not None and (entry.load_kg, entry.air_open_pct) == (3.2, 60)


@pytest.mark.parametrize(
    "note", ["3 mice", "in 25 at the loft", "bed at 23:10", "4m long branch", "air was bad"]
)
def test_figures_in_a_note_stay_words(desk: AppDesk, note: str) -> None:
    desk.keep_sheet(desk.read_sheet(typed(("1740", "", "12", "", "", note))))
    entry = desk._log().current_entries()[0].entry
    assert entry is not None and entry.note == note
    assert (entry.indoor_c, entry.outdoor_c, entry.load_kg) == (12, None, None)
    assert local(entry.at) == "Fri 17:40"


def test_a_row_alone_with_a_note_is_a_note(desk: AppDesk) -> None:
    desk.keep_sheet(desk.read_sheet(typed(("1740", "", "", "", "", "roof vent left open"))))
    entry = desk._log().current_entries()[0].entry
    assert entry is not None and entry.note == "roof vent left open"


def test_a_row_passed_over_may_name_its_day_further_down(desk: AppDesk) -> None:
    read = desk.read_sheet(typed(*WEEKEND, ("fri 2000", "", "15", "", "", "")))
    assert read.rows[-1].standing is Standing.READS and read.rows[-1].day == "Fri 5 Dec"
    early = desk.read_sheet(typed(("thu 2000", "", "15", "", "", ""), date="5 dec"))
    assert "still to come" not in early.rows[0].sentence


@pytest.mark.parametrize("date", ["", "5.12", "owl", "12", "99 dec", "5 dec in 3"])
def test_a_date_that_is_none_is_said_and_no_row_is_read_on_a_guessed_day(desk: AppDesk, date: str) -> None:
    read = desk.read_sheet(typed(*WEEKEND, date=date))
    assert not read.day and "5 dec" in read.trouble
    with pytest.raises(EntryError):
        desk.keep_sheet(read)


@pytest.mark.parametrize("date", ["5 dec", "dec 5", "fri", "2025-12-05", "5 December"])
def test_days_the_writing_line_knows(desk: AppDesk, date: str) -> None:
    assert desk.read_sheet(typed(date=date)).day == "Fri 5 Dec 2025"


def test_a_row_still_to_come_is_refused(desk: AppDesk) -> None:
    standing, said = one(desk, "2030", "", "3", "", "", "", date="sun")
    assert standing is Standing.STOP and said.startswith("20:30 on Sun 7 Dec is still to come.")
    assert one(desk, "1815", "", "3", "", "", "", date="sun")[0] is Standing.READS


def test_which_way_the_lever_reads_is_asked_once_for_the_sheet_and_remembered(tmp_path: Path) -> None:
    desk = AppDesk(Place(tmp_path / "new.db"), at=NOW)
    desk._log().add_description(CABIN)
    sheet = typed(("1740", "", "", "2s", "1/4", ""), ("1900", "", "", "2s", "1/4", ""))
    asks = desk.read_sheet(sheet).rows[0]
    assert asks.standing is Standing.ASKS and set(asks.answers) == {"o", "c"}
    answered = replace(sheet, answers=((asks.line, asks.asked, "c"),))
    read = desk.read_sheet(answered)
    assert [row.standing for row in read.rows] == [Standing.READS] * 2
    assert [row.cells[4] for row in read.rows] == ["3/4 open (1/4 closed)"] * 2
    desk.keep_sheet(read)
    assert desk._log().setting("air_lever_reads") == "closed"
    desk.close()


def test_an_unlikely_reading_is_asked_and_the_answer_belongs_to_that_row_as_it_stands(desk: AppDesk) -> None:
    sheet = typed(("1740", "", "65", "", "", ""))
    asks = desk.read_sheet(sheet).rows[0]
    assert asks.standing is Standing.ASKS and "enter" in asks.answers
    answered = replace(sheet, answers=((asks.line, asks.asked, "enter"),))
    assert desk.read_sheet(answered).rows[0].standing is Standing.READS
    changed = replace(answered, rows=(("1740", "", "66", "", "", ""),))
    assert desk.read_sheet(changed).rows[0].standing is Standing.ASKS


def test_the_night_the_clock_goes_back_an_hour_that_came_twice_is_asked(desk: AppDesk) -> None:
    standing, said = one(desk, "0230", "", "13", "", "", "", date="2025-10-26")
    assert standing is Standing.ASKS and "came twice" in said


def test_a_half_copied_sheet_is_kept_and_comes_back(desk: AppDesk) -> None:
    sheet = replace(typed(*WEEKEND), answers=(("a", "b", "c"),))
    desk.keep_sheet_draft(sheet)
    assert AppDesk(desk.place, at=NOW).sheet_draft() == sheet
    desk.keep_sheet_draft(Sheet())
    assert desk.sheet_draft() == Sheet()


@pytest.mark.parametrize("spoilt", ["{", "[]", '{"rows": [3]}', '{"answers": [["a"]]}'])
def test_a_spoilt_draft_is_an_empty_sheet(desk: AppDesk, spoilt: str) -> None:
    desk._log().keep_here("paper", spoilt)
    assert desk.sheet_draft() == Sheet()


def test_nothing_is_kept_of_an_empty_sheet(desk: AppDesk) -> None:
    read: SheetRead = desk.read_sheet(typed(("", "", "", "", "", "")))
    with pytest.raises(EntryError, match="No row has anything in it"):
        desk.keep_sheet(read)
