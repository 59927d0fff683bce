"""A laptop wakes in 1980, or ran ahead: nothing kept vanishes, nothing unsafe is said, and it is asked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from small_cabin import DESCRIPTION

from logbook.actions import lines
from logbook.actions.desk import AppDesk
from logbook.actions.house import house_of
from logbook.actions.opening import Place
from logbook.actions.time_now import now_of
from logbook.actions.upkeep import house_and_ahead, what_is_due
from logbook.care.ash import ash_clock
from logbook.cli import main
from logbook.clock_doubt import WRITTEN, Why, doubt_of, taken_for_now
from logbook.description import parse_description
from logbook.errors import EntryError
from logbook.matters import Ash, AshAct
from logbook.records import Entry, Flag
from logbook.results.app import Standing
from logbook.results.ash import AshState
from logbook.ui.plain_talk import PlainTalk

FRIDAY = datetime(2026, 1, 16, 20, 0, tzinfo=UTC)
"""21:00 at the cabin."""
DEAD_BATTERY = datetime(1980, 1, 1, 0, 3, tzinfo=UTC)


class Laptop:
    """One log, and a clock that can be set wrong."""

    def __init__(self, path: Path) -> None:
        self.path, self.now = path, FRIDAY
        with self.open() as log:
            log.add_description(parse_description(DESCRIPTION, machine_zone="UTC"))

    def open(self):
        return Place(self.path).open(create=True, now=lambda: self.now)

    def note(self, line: str, *, yes: bool = False) -> lines.Noted:
        with self.open() as log:
            return lines.note(log, line, now=self.now, yes=yes)

    def ash(self):
        with self.open() as log:
            return what_is_due(house_and_ahead(log, as_of=now_of(log))[0]).ash


@pytest.fixture
def laptop(tmp_path: Path) -> Laptop:
    return Laptop(tmp_path / "log.db")


@pytest.fixture
def desk(laptop: Laptop, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: laptop.now)
    found = AppDesk(Place(laptop.path))
    yield found
    found.close()


# What speaks against a clock


@pytest.mark.parametrize(
    ("clock", "newest", "why", "grave"),
    [
        (DEAD_BATTERY, FRIDAY, Why.BEHIND, True),
        (DEAD_BATTERY, None, Why.BEFORE, True),
        (datetime(2015, 1, 1, tzinfo=UTC), None, Why.BEFORE, True),
        (FRIDAY - timedelta(days=1), FRIDAY, Why.BEHIND, True),
        (FRIDAY - timedelta(minutes=20), FRIDAY, Why.BEHIND, False),
        (FRIDAY - timedelta(minutes=2), FRIDAY, None, False),
        (FRIDAY + timedelta(days=400), FRIDAY, None, False),
        (datetime(2036, 2, 7, tzinfo=UTC), FRIDAY, Why.AHEAD, False),
        (FRIDAY, None, None, False),
    ],
)
def test_what_speaks_against_a_clock(clock, newest, why, grave):
    found = doubt_of(clock, newest)
    assert (found.why if found else None, bool(found and found.is_grave)) == (why, grave)
    assert newest is None or taken_for_now(clock, newest) >= newest, "nothing is hidden"


# Lines


def test_a_script_keeps_nothing_by_a_clock_in_1980_and_says_both_times(laptop):
    laptop.note("-5/18")
    laptop.now = DEAD_BATTERY
    with pytest.raises(EntryError) as refused:
        laptop.note("17")
    said = str(refused.value)
    assert "1 Jan 1980 01:03" in said and "Fri 16 Jan 2026 21:00" in said
    assert "Nothing was kept" in said and "--yes" in said
    with laptop.open() as log:
        assert len(log.current_entries()) == 1


def test_a_whole_date_needs_no_clock(laptop):
    """It was refused as still to come: nothing but the wrong clock said so."""
    laptop.note("-5/18")
    laptop.now = DEAD_BATTERY
    laptop.note("17 jan 2026 07:00 12")
    laptop.note("2026-01-17T07:30 ash out by the shed")
    with laptop.open() as log:
        times = [e.at for e in log.entries()]
    assert times[1:] == [datetime(2026, 1, 17, 6, 0, tzinfo=UTC), datetime(2026, 1, 17, 6, 30, tzinfo=UTC)]


def test_the_first_line_of_all_is_asked_about_too(laptop):
    laptop.now = DEAD_BATTERY
    with pytest.raises(EntryError, match="this program was written in 2026"):
        laptop.note("18")
    laptop.note("16 jan 2026 21:00 18")


def test_kept_by_its_owners_word_it_is_marked_and_keeps_its_place(laptop):
    """The order is the order of writing: the clock does not misorder."""
    laptop.note("18")
    laptop.now = DEAD_BATTERY
    laptop.note("17", yes=True)
    with laptop.open() as log:
        first, second = log.current_entries()
        assert (first.entry.indoor_c, second.entry.indoor_c) == (18.0, 17.0)
        assert second.counter > first.counter
        assert second.entry.flags == frozenset({Flag.ODD_VALUE})
        assert log.undo()[0].entry.indoor_c == 17.0 or log.current_entries() == (first,)


def test_five_years_without_a_line_are_asked_about_and_scripts_go_on(laptop):
    laptop.note("18")
    laptop.now = datetime(2036, 2, 7, 6, 0, tzinfo=UTC)
    (warning,) = laptop.note("17").warnings
    assert "7 Feb 2036" in warning and "16 Jan 2026" in warning
    assert laptop.note("17.5").warnings == (), "asked once"


def test_after_a_clock_that_ran_ahead_the_right_one_is_doubted_once(laptop):
    laptop.note("18")
    laptop.now = FRIDAY + timedelta(days=300)
    laptop.note("17")
    laptop.now = FRIDAY + timedelta(hours=1)
    laptop.note("16.5", yes=True)
    laptop.now += timedelta(hours=1)
    assert laptop.note("16").warnings == ()
    with laptop.open() as log:
        assert now_of(log) == laptop.now


def test_a_correction_of_an_old_line_says_nothing_of_the_clock(laptop):
    """An edited line keeps its time and is written last."""
    kept = laptop.note("18").event_ids[0]
    laptop.now += timedelta(hours=3)
    laptop.note("17")
    with laptop.open() as log:
        lines.edit(log, kept, "18.5", now=laptop.now)
    laptop.now -= timedelta(hours=2)
    assert laptop.note("16").warnings, "an hour ahead of the first line, two behind the newest"


def test_a_new_band_in_1980_holds(laptop):
    """It was dated 1980 and stood behind the description before it: kept, said, and not in force."""
    laptop.note("18")
    with laptop.open() as log:
        lines.note(log, "band 15-21", now=FRIDAY + timedelta(minutes=1))
    laptop.now = DEAD_BATTERY
    laptop.note("band 17-23", yes=True)
    with laptop.open() as log:
        assert log.descriptions()[-1].description.comfort.band_c == (17.0, 23.0)


# Ash


def test_ash_is_not_forgotten_in_1980(laptop):
    """As of 1980 there was no ash: the bucket of an hour ago vanished from due, lists and the head row."""
    laptop.note("ash out by the shed")
    laptop.now += timedelta(hours=1)
    laptop.note("18")
    laptop.now = DEAD_BATTERY
    found = laptop.ash()
    assert (found.state, found.where) == (AshState.WAITING, "by the shed")
    assert found.not_before >= FRIDAY + timedelta(hours=96)


def test_no_wait_is_over_by_a_line_from_a_clock_that_ran_ahead(laptop):
    laptop.note("ash out")
    laptop.now += timedelta(days=30)
    laptop.note("17")
    laptop.now = FRIDAY + timedelta(hours=2)  # set right again
    found = laptop.ash()
    assert found.state is AshState.WAITING
    assert found.not_before > FRIDAY + timedelta(hours=96)


def test_no_wait_is_over_by_a_clock_years_ahead(laptop):
    laptop.note("ash out")
    laptop.now = datetime(2036, 2, 7, tzinfo=UTC)
    assert laptop.ash().state is AshState.WAITING


def test_ash_written_down_in_1980_is_never_46_years_old(laptop):
    laptop.note("18")
    laptop.now = DEAD_BATTERY
    laptop.note("ash out", yes=True)
    laptop.now = FRIDAY + timedelta(hours=5)
    with laptop.open() as log:
        found = ash_clock(log.entries(), as_of=laptop.now)
    assert found.state is AshState.WAITING
    assert found.not_before == laptop.now + timedelta(hours=96)


def test_hot_ash_of_1980_is_not_taken_for_the_bucket_tipped_since():
    """By time it comes before the older bucket, and was tipped with it; by writing it came last."""
    told = [
        Entry(at=FRIDAY - timedelta(days=20), matter=Ash(act=AshAct.TAKEN_OUT)),
        Entry(at=FRIDAY - timedelta(days=10), matter=Ash(act=AshAct.TIPPED)),
        Entry(at=DEAD_BATTERY, matter=Ash(act=AshAct.TAKEN_OUT), flags=frozenset({Flag.ODD_VALUE})),
    ]
    found = ash_clock(told, as_of=FRIDAY)
    assert found is not None and found.state is AshState.WAITING


def test_with_the_right_clock_the_wait_ends_as_ever(laptop):
    laptop.note("ash out")
    laptop.now += timedelta(hours=97)
    assert laptop.ash().state is AshState.WAIT_OVER


# Alarms and stays


def test_alarms_past_their_date_stay_so_in_1980(laptop):
    with laptop.open() as log:
        text = DESCRIPTION + "\n[alarms]\nco_expires = 2026-01-10\n"
        log.add_description(parse_description(text, machine_zone="UTC"), FRIDAY - timedelta(days=3))
    laptop.note("18")
    laptop.now = DEAD_BATTERY
    with laptop.open() as log:
        due = what_is_due(house_of(log, as_of=now_of(log)))
    (co,) = [item for item in due.items if item.task == "co alarm"]
    assert co.state.name == "DUE", co


def test_the_stay_goes_on_in_1980(laptop):
    laptop.note("arrived -5/4")
    laptop.now = DEAD_BATTERY
    with laptop.open() as log:
        assert house_of(log, as_of=now_of(log)).stay is not None


# The app


def test_the_app_says_both_times_first_and_loses_nothing(laptop, desk):
    laptop.note("arrived -5/18")
    laptop.note("ash out by the shed")
    laptop.now = DEAD_BATTERY
    head = desk.head()
    assert head.pending[0].name == "clock"
    assert "1 Jan 1980" in head.pending[0].short and "16 Jan 2026" in head.pending[0].short
    assert head.inside is not None and head.stay, "the stay goes on"
    assert any(p.name == "ash" for p in head.pending)
    assert desk.now() == FRIDAY


def test_the_app_asks_once_and_goes_by_what_it_was_told(laptop, desk):
    laptop.note("arrived -5/18")
    laptop.now = DEAD_BATTERY
    desk.head()
    heard = desk.read("17")
    assert heard.standing is Standing.ASKS and "1980" in heard.sentence
    heard = desk.answer(heard, "22:30")
    assert heard.standing is Standing.READS
    desk.keep(heard)
    laptop.now += timedelta(minutes=10)
    assert all(p.name != "clock" for p in desk.head().pending)
    assert desk.read("16.5").standing is Standing.READS, "told once is enough"
    desk.keep(desk.read("16.5"))
    with laptop.open() as log:
        told = [event.entry.at for event in log.current_entries()]
    assert told[-2:] == [datetime(2026, 1, 16, 21, 30, tzinfo=UTC), datetime(2026, 1, 16, 21, 40, tzinfo=UTC)]


def test_the_program_is_no_younger_than_its_log():
    assert WRITTEN <= FRIDAY


def test_line_by_line_a_time_typed_answers(laptop, desk):
    """It was not taken: only Enter was, which keeps 1980."""
    laptop.note("arrived -5/18")
    laptop.now = DEAD_BATTERY
    said: list[str] = []
    talk = PlainTalk(desk, say=said.append)
    talk.hear("17")
    assert "Answer with the time, Enter alone" in " ".join(said)
    talk.hear("nonsense")
    assert "still stands" in " ".join(said)
    talk.hear("22:30")
    talk.hear("16.5")
    with laptop.open() as log:
        told = [event.entry for event in log.current_entries()]
    assert [(e.at.hour, e.indoor_c) for e in told][-2:] == [(21, 17.0), (21, 16.5)]


# The command


def test_commands_say_both_times_and_answer_as_of_the_newest_line(laptop, monkeypatch, capsys):
    laptop.note("ash out by the shed")
    laptop.note("18")

    class Wrong(datetime):
        @classmethod
        def now(cls, tz=None):
            return DEAD_BATTERY.astimezone(tz)

    monkeypatch.setattr("logbook.actions.opening.datetime", Wrong)
    assert main(["--log", str(laptop.path), "due"]) == 0
    told = capsys.readouterr()
    assert "Tue 20 Jan 21:00" in told.out, "the ash, 96 h on"
    assert "1 Jan 1980 01:03; last line: Fri 16 Jan 2026 21:00. " in told.err
    assert "Check the clock" in told.err
    assert main(["--log", str(laptop.path), "note", "17"]) == 2
    assert "Nothing was kept" in capsys.readouterr().err


# What is read as of a time gone by asks for no clock


def test_a_line_of_years_ago_is_changed_without_a_word_of_the_clock(laptop):
    """It was read as of then, and then there was no such program."""
    kept = laptop.note("3 dec 2019 20:00 18").event_ids[0]
    with laptop.open() as log:
        noted = lines.edit(log, kept, "20:30 17", now=laptop.now)
        (event,) = log.current_entries()
    assert noted.warnings == ()
    assert event.entry.at == datetime(2019, 12, 3, 19, 30, tzinfo=UTC) and not event.entry.flags


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("2026-10-25T02:30", "came twice: the first, 2026-10-25T02:30+02:00, is taken; the second is "),
        ("2026-03-29T02:30", "never came: the clock went forward over it. 2026-03-29T03:30+02:00 is taken."),
        ("2026-10-25T02:30+01:00", ""),
        ("2026-01-16", ""),
    ],
)
def test_as_of_a_time_that_came_twice_or_never_says_which_is_taken(laptop, capsys, given, said):
    with laptop.open() as log:
        text = DESCRIPTION.replace("Etc/GMT-1", "Europe/Oslo")
        log.add_description(parse_description(text, machine_zone="UTC"), FRIDAY)
    assert main(["--log", str(laptop.path), "due", "--as-of", given]) == 0
    told = capsys.readouterr().err
    assert said in told and bool(said) == bool(told)
