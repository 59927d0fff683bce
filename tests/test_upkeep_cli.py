"""due, as typed: the contract's keys, the page, the record, the ash's one date everywhere, exit codes."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from logbook.actions.desk import AppDesk
from logbook.actions.opening import place_of
from logbook.actions.upkeep import house_and_ahead, the_record, what_is_due, when_written
from logbook.cli import main
from logbook.description import parse_description
from logbook.matters import Ash, AshAct, Seen, Sight, Upkeep, UpkeepRule
from logbook.records import Entry, Mark, NewEvent, OwnUnits
from logbook.results.upkeep import Interval
from logbook.results.upkeep_words import TASK_WORDS
from logbook.setting import Setting
from logbook.store.log import Log, open_log
from logbook.wording.upkeep import due_text, interval_text, record_text

CABIN = """
[site]
name = "Larch Hut"
timezone = "Etc/GMT-1"
[cabin]
floor_m2 = 20
volume_m3 = 48
[stove]
max_load_kg = 8
clean_floor_open_pct = 25
[alarms]
co_expires = 2026-01-10
"""

NOW = "2026-01-18T12:00"


def at(text: str) -> datetime:
    """By the cabin's clock, an hour ahead of UTC."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC) - timedelta(hours=1)


SWEPT = Upkeep(
    task="flue", finding="dry soot, bend clean", deposit_mm=2.5, by="J", photos=("soot/a.jpg", "b c.jpg")
)
ROWS = (
    Entry(at=at("2025-01-10T12:00"), matter=SWEPT),
    Entry(at=at("2025-10-01T12:00"), matter=Upkeep(task="extinguisher", only_looked=True)),
    Entry(at=at("2025-10-01T12:30"), matter=UpkeepRule(task="gutters")),
    Entry(at=at("2025-10-01T12:31"), matter=UpkeepRule(task="co alarm")),
    Entry(at=at("2025-12-20T17:00"), mark=Mark.ARRIVED, indoor_c=5.0, outdoor_c=-3.0, alarms_tested=True),
    Entry(at=at("2025-12-20T18:00"), load_kg=5.0, indoor_c=9.0),
    Entry(at=at("2025-12-21T08:00"), indoor_c=12.0),
    Entry(at=at("2025-12-21T15:00"), mark=Mark.LEFT, indoor_c=15.0),
    Entry(at=at("2026-01-16T17:00"), mark=Mark.ARRIVED, indoor_c=1.0, outdoor_c=-9.0, alarms_tested=True),
    Entry(at=at("2026-01-16T18:00"), load_kg=5.0, indoor_c=9.0),
    Entry(at=at("2026-01-17T08:00"), indoor_c=12.0),
    Entry(at=at("2026-01-17T22:00"), indoor_c=14.0),
    Entry(at=at("2026-01-17T15:15"), matter=Ash(act=AshAct.TAKEN_OUT, where="porch")),
    Entry(at=at("2026-01-17T15:20"), matter=Seen(sight=Sight.NEST, place="cap")),
    Entry(at=at("2026-01-18T11:30"), indoor_c=16.0, outdoor_c=-5.0),
    Entry(at=at("2026-03-07T12:00"), matter=Upkeep(task="flue", by="the sweep")),
)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A log with a winter of upkeep in it, written on 18 January 2026."""
    with open_log(tmp_path / "log.db", now=lambda: at(NOW) - timedelta(minutes=5)) as made:
        made.add_description(parse_description(CABIN, machine_zone="UTC"))
        made.add([NewEvent(entry=row, zone="Etc/GMT-1") for row in ROWS])
    return tmp_path


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


def page(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().out.split())


def test_due_keeps_to_the_contract(log, capsys):
    assert run(log, "due", "--as-of", NOW, "--json") == 0
    got = answered(capsys)
    assert got["as_of"] == "2026-01-18T12:00:00+01:00"
    flue = next(item for item in got["items"] if item["task"] == "flue")
    assert (flue["state"], flue["overdue"], flue["due_on"], flue["decides"]) == (
        "due", True, "2026-01-10", "date",
    )  # fmt: skip
    assert flue["interval"]["kg"] == 1000
    assert (flue["kg_since"], flue["kg_left"]) == (10, 990)
    assert flue["last"]["finding"] == "dry soot, bend clean"
    assert flue["last"]["on"] == "2025-01-10"
    assert "NFPA 211" in flue["interval"]["source"]
    assert "10 Jan 2026" in flue["sentence"]


def test_safety_comes_first_and_an_expired_alarm_speaks_though_silenced(log, capsys):
    assert run(log, "due", "--as-of", NOW, "--json") == 0
    got = answered(capsys)
    first = got["items"][0]
    assert (first["task"], first["state"], first["silenced_on"]) == ("co alarm", "due", "2025-10-01")
    assert "You silenced this on 1 Oct 2025; it is told all the same" in first["sentence"]
    assert got["silenced"] == ["co alarm", "gutters"]
    assert not any(item["task"] == "gutters" for item in got["items"])


def test_what_was_never_recorded_is_not_overdue(log, capsys):
    assert run(log, "due", "--as-of", NOW, "--json") == 0
    roof = next(item for item in answered(capsys)["items"] if item["task"] == "roof")
    assert (roof["state"], roof["overdue"], roof["due_on"], roof["last"]) == (
        "not recorded",
        False,
        None,
        None,
    )


def test_a_sweep_written_for_a_time_to_come_is_said_and_does_not_count(log, capsys):
    assert run(log, "due", "--as-of", NOW, "--json") == 0
    ahead = answered(capsys)["not_counted_yet"]
    assert ahead == [{"task": "flue", "at": "2026-03-07T12:00:00+01:00"}]
    assert run(log, "due", "--as-of", NOW) == 0
    said = page(capsys)
    assert "Written down for Sat 7 Mar 2026, which is still to come: flue." in said
    assert run(log, "due", "--as-of", "2026-04-01", "--json", "--all") == 0
    later = answered(capsys)
    assert later["not_counted_yet"] == []
    assert next(i for i in later["items"] if i["task"] == "flue")["last"]["on"] == "2026-03-07"


def test_what_was_written_later_does_not_exist(log, capsys):
    """Written on 18 January; asked as of the 10th the sweep planned for March is not known either."""
    assert run(log, "due", "--as-of", "2026-01-09T12:00", "--json") == 0
    assert answered(capsys)["not_counted_yet"] == []


def test_the_page_reads_at_eighty_columns(log, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    for words in ((), ("--all",), ("--record",)):
        assert run(log, "due", "--as-of", NOW, *words) == 0
        out = capsys.readouterr().out
        assert all(len(row) <= 80 for row in out.splitlines())
        assert "\n\n\n" not in out
        assert out.splitlines()[0], "no empty first row"


def test_the_page_tells_most_urgent_first_and_what_is_unknown_apart(log, capsys):
    assert run(log, "due", "--as-of", NOW) == 0
    said = page(capsys)
    told = ["Ash filled Sat 17 Jan 15:15", "CO alarm replaced: past the date", "nest seen (cap) 17 Jan 2026",
            "Never written down, safety:",
            "Silenced by you: gutters (1 Oct 2025)", "manual, local code"]  # fmt: skip
    places = [said.index(words) for words in told]
    assert places == sorted(places)
    assert "No fire while it is in there" in said
    assert "Inspected and clean" not in said, "how is told with --all"
    assert run(log, "due", "--as-of", NOW, "--all") == 0
    every = page(capsys)
    assert "Inspected and clean: did flue 0 mm" in every
    for name, _ in TASK_WORDS:
        title = {"flue look": "looked at in season", "extinguisher inside": "opened and examined"}.get(
            name, ""
        )
        assert title in every


# The ash, one date everywhere


UNTIL = "Wed 21 Jan 15:15"


def test_due_leave_arrive_and_the_head_row_tell_one_date(log, capsys):
    """96 h after Saturday 15:15: fire districts, up to 4 days (as reported)."""
    assert run(log, "due", "--as-of", NOW, "--json") == 0
    ash = answered(capsys)["ash"]
    assert ash["not_before"] == "2026-01-21T15:15:00+01:00"
    assert (ash["where"], ash["state"]) == ("porch", "waiting")
    assert ash["fire_at"] == "2026-01-16T18:00:00+01:00", "wood went in 21 h before"
    assert "went in hot" in ash["sentence"]
    assert run(log, "leave", "--as-of", NOW, "--night-low", "-9", "--json") == 0
    left = answered(capsys)
    assert left["ash_not_before"] == ash["not_before"]
    assert any(UNTIL in caution for caution in left["cautions"])
    assert (
        run(log, "arrive", "--as-of", "2026-01-20T16:00", "--outdoor", "-8", "--inside", "-2", "--json") == 0
    )
    assert any(UNTIL in caution for caution in answered(capsys)["cautions"])
    desk = AppDesk(place_of(str(log / "log.db")), at=at(NOW))
    (row,) = [p for p in desk.head().pending if p.name == "ash"]
    assert UNTIL in row.short and UNTIL in row.long
    assert "porch" in row.long


def test_the_head_row_asks_for_a_second_test_once_it_is_warm(log):
    """Tested at 1 °C at the door, below the 4 °C alarms are commonly rated from (as reported); 16 °C now."""
    desk = AppDesk(place_of(str(log / "log.db")), at=at(NOW))
    pending = {p.name: p for p in desk.head().pending}
    alarms = pending["alarms"]
    assert "tested at 1 °C" in alarms.short
    assert (alarms.key, alarms.done, alarms.first) == ("k", "alarms ok", True)
    assert len(alarms.short) <= 71 and len(alarms.long) <= 111
    pressed = Entry(at=at("2026-01-18T11:50"), alarms_tested=True)
    with open_log(log / "log.db", create=False) as opened:
        opened.add([NewEvent(entry=pressed, zone="Etc/GMT-1")])
    again = AppDesk(place_of(str(log / "log.db")), at=at(NOW))
    assert "alarms" not in {p.name for p in again.head().pending}


def test_an_alarm_replaced_in_the_log_is_past_its_old_date_nowhere(log, capsys):
    def said() -> tuple[bool, bool, str]:
        desk = AppDesk(place_of(str(log / "log.db")), at=at(NOW))
        desk.head()  # the first frame goes without old matters, and without dates that one may have renewed
        row = any(p.name == "CO alarm" for p in desk.head().pending)
        assert run(log, "tonight", "--as-of", NOW, "--night-low", "-9", "--json") == 0
        advice = any("CO alarm is past" in caution for caution in answered(capsys)["cautions"])
        assert run(log, "due", "--as-of", NOW, "--all", "--json") == 0
        return row, advice, next(i for i in answered(capsys)["items"] if i["task"] == "co alarm")["state"]

    assert said() == (True, True, "due")
    new = Entry(at=at("2026-01-18T11:45"), matter=Upkeep(task="co alarm", until=date(2033, 5, 1)))
    with open_log(log / "log.db", create=False) as opened:
        opened.add([NewEvent(entry=new, zone="Etc/GMT-1")])
    assert said() == (False, False, "silenced")


# The record


def test_the_record_brings_back_what_was_written(log, capsys):
    """From the log's file and back: every field of the sweep, as it was given."""
    assert run(log, "due", "--record", "--as-of", NOW, "--json") == 0
    got = answered(capsys)
    (row,) = [item for item in got["items"] if item["task"] == "flue"]
    back = Upkeep(
        task=row["task"], finding=row["finding"], deposit_mm=row["deposit_mm"], by=row["by"],
        photos=tuple(row["photos"]), only_looked=row["kind"] == "looked",
        until=row["until"] and date.fromisoformat(row["until"]),
    )  # fmt: skip
    assert back == SWEPT
    assert row["at"] == "2025-01-10T12:00:00+01:00"
    assert [item["kind"] for item in got["items"]] == ["done", "looked", "tested", "tested", "seen"]
    assert (got["place"], got["stays"], got["wood_kg"]) == ("Larch Hut", 2, 10)
    assert [item["at"] for item in got["items"]] == sorted(item["at"] for item in got["items"])


def test_the_record_on_paper_holds_all_of_it(log, capsys):
    assert run(log, "due", "--record", "--as-of", NOW) == 0
    out = capsys.readouterr().out
    assert out.startswith("Upkeep record: Larch Hut\n")
    flat = " ".join(out.split())
    assert "2025-01-10 flue: done deposit found 2.5 mm found: dry soot, bend clean by J" in flat
    assert "photo soot/a.jpg photo b c.jpg" in flat
    assert "2025-10-01 extinguisher: looked at" in flat
    assert "2025: 20 Dec 2026: 16 Jan" in flat, "alarms tested, a row a year"
    assert "which is still to come: flue" in flat
    assert "gutters" not in flat, "a rule is no work done"


def test_a_back_dated_sweep_is_not_the_logs_beginning_and_says_when_it_was_written(log, capsys):
    """All was written on 18 January 2026; the sweep of January 2025 and the looks of October are late, what
    was seen the day before is not."""
    assert run(log, "due", "--record", "--as-of", NOW) == 0
    out = capsys.readouterr().out
    flat = " ".join(out.split())
    assert "log written since 18 Jan 2026 (days before, back to 10 Jan 2025, were written down aft" in flat
    assert "by J written down later, on 2026-01-18 photo" in flat
    assert "2026-01-17 nest: seen place cap" in flat
    assert not flat.split("nest: seen place cap", 1)[1].startswith(" written")
    assert "1 of these days written down days later." in flat  # 20 December; 16 January is two days
    assert run(log, "due", "--record", "--as-of", NOW, "--json") == 0
    got = answered(capsys)
    assert (got["log_began"], got["oldest_entry"]) == ("2026-01-18", "2025-01-10")
    late = [item["written_on"] for item in got["items"]]
    assert late == ["2026-01-18", "2026-01-18", "2026-01-18", None, None]


def test_a_log_written_as_things_were_done_has_no_remark(tmp_path, capsys):
    """Three days on, from home, is not late; a minute more is. A correction counts when it is made."""
    done = at("2026-01-10T12:00")
    clock = [done + timedelta(days=3)]
    with open_log(tmp_path / "log.db", now=lambda: clock[0]) as made:
        (event,) = made.add([NewEvent(entry=Entry(at=done, matter=SWEPT))])
        record = the_record(
            house_and_ahead(made, as_of=at(NOW))[0], written=when_written(made, as_of=at(NOW))
        )
        assert (record.log_began, record.rows[0].written_on) == (date(2026, 1, 13), None)
        clock[0] += timedelta(minutes=1)
        made.edit(event.uuid, NewEvent(entry=Entry(at=done, matter=Upkeep(task="flue", deposit_mm=1.0))))
        record = the_record(
            house_and_ahead(made, as_of=at(NOW))[0], written=when_written(made, as_of=at(NOW))
        )
        assert record.rows[0].written_on == date(2026, 1, 13)
    done_today = Entry(at=clock[0], indoor_c=4.0)
    with open_log(tmp_path / "other.db", now=lambda: clock[0]) as made:
        made.add([NewEvent(entry=done_today)])
    assert main(["--log", str(tmp_path / "other.db"), "due", "--record", "--as-of", NOW]) == 0
    assert "written since 13 Jan 2026:" in page(capsys)


def test_wood_burned_between_two_sweeps_stands_in_the_record(log):
    later = Entry(at=at("2026-03-20T12:00"), load_kg=7.0)
    with open_log(log / "log.db", create=False) as opened:
        opened.add([NewEvent(entry=later, zone="Etc/GMT-1")])
        house, ahead = house_and_ahead(opened, as_of=at("2026-04-01T12:00"))
    rows = [row for row in the_record(house, ahead=ahead).rows if row.task == "flue"]
    assert [row.kg_before for row in rows] == [None, 10.0], "nothing is known before the first"


# Without description, without log, wrong words


def test_it_works_without_a_description(tmp_path, capsys):
    with open_log(tmp_path / "log.db") as made:
        made.add([NewEvent(entry=Entry(at=at("2026-01-10T12:00"), matter=SWEPT))])
    assert run(tmp_path, "due", "--as-of", NOW, "--all") == 0
    assert "due 10 Jan 2027 by date" in page(capsys)
    assert run(tmp_path, "due", "--as-of", NOW, "--record") == 0
    assert "Upkeep record As of" in page(capsys)


def test_an_empty_record_says_how_to_begin(tmp_path, capsys):
    open_log(tmp_path / "log.db").close()
    assert run(tmp_path, "due", "--record", "--as-of", NOW) == 0
    assert "Nothing is recorded yet" in page(capsys)
    assert run(tmp_path, "due", "--as-of", NOW) == 0
    assert "Nothing on record is due" in page(capsys)


def test_no_log_is_refused_with_what_to_do(tmp_path, capsys):
    assert run(tmp_path, "due") == 1
    assert "nightload setup" in capsys.readouterr().err


def test_two_pages_at_once_are_refused(log, capsys):
    assert run(log, "due", "--all", "--record") == 2
    assert "Give one of them" in capsys.readouterr().err


def test_a_file_that_is_no_log_is_refused(tmp_path, capsys):
    (tmp_path / "log.db").write_text(
        "not a log, but a page of text that is long enough to look like one" * 40
    )
    assert run(tmp_path, "due") == 3
    assert capsys.readouterr().err


# Words


EVERY = [
    (Interval(months=1), "every month"),
    (Interval(months=3), "every 3 months"),
    (
        Interval(months=12, kg=1000.0),
        "every year or 1000 kg of wood burned, as weighed, whichever comes first",
    ),
    (Interval(months=72), "every 6 years"),
    (Interval(days=365.0, burn_days=40.0), "every 365 days or 40 days with a fire, whichever comes first"),
    (Interval(), ""),
]


@pytest.mark.parametrize(("interval", "said"), EVERY)
def test_intervals_in_words(interval, said):
    assert interval_text(interval, units=OwnUnits()) == said


def test_the_owners_units_are_used(log):
    with open_log(log / "log.db", create=False) as opened:
        house, _ = house_and_ahead(opened, as_of=at(NOW))
    setting = Setting(zone="Etc/GMT-1", units=OwnUnits(temperature="F", mass="lb"))
    said = " ".join(due_text(what_is_due(house), setting=setting, everything=True))
    assert "2205 lb of wood burned" in said, "1000 kg"
    assert " kg" not in said
    assert "every 1100 lb flue" in said, "500 kg is 1102 lb"
    assert "22 lb of wood burned" in " ".join(record_text(the_record(house), setting=setting)), "10 kg"


def test_soot_left_tells_both_levels(log):
    look = Entry(at=at("2026-01-18T11:00"), matter=Upkeep(task="flue", only_looked=True, deposit_mm=1.0))
    with open_log(log / "log.db", create=False) as opened:
        opened.add([NewEvent(entry=look, zone="Etc/GMT-1")])
        said = _due_page(opened)
    assert "1 mm of deposit found 18 Jan 2026, not swept since; also due since 10 Jan 2026 by date" in said
    assert "above the first of two levels" in said
    assert "any measurable deposit is cleaned away (NFPA 211" in said
    assert "from 3 mm (1/8 in) swept before the next fire" in said


def test_after_a_chimney_fire_no_fire_before_the_inspection(log):
    fire = Entry(at=at("2026-01-18T11:00"), note="chimney fire, out by itself after ten minutes")
    with open_log(log / "log.db", create=False) as opened:
        opened.add([NewEvent(entry=fire, zone="Etc/GMT-1")])
        said = _due_page(opened)
    assert "chimney fire 18 Jan 2026" in said
    assert "No fire before it has been inspected" in said
    assert "level 2 or 3 inspection" in said, "NFPA 211 quoted (as reported)"


def _due_page(opened: Log) -> str:
    house, ahead = house_and_ahead(opened, as_of=at(NOW))
    return " ".join(due_text(what_is_due(house, ahead=ahead), setting=house.setting))
