"""list, as typed: the contract's keys, ticks, the owner's lines and order, undo; one truth with arrive."""

from __future__ import annotations

import json
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from small_cabin import AS_OF, cabin

from logbook.actions import lines as line_acts
from logbook.actions import lists as acts
from logbook.actions.opening import place_of
from logbook.cli import main
from logbook.cli.lists import in_columns
from logbook.errors import BadInputError
from logbook.matters import Bring
from logbook.records import Entry, NewEvent
from logbook.results.lists import ListName

__all__ = ["cabin"]

COMING = "2026-01-23T16:00"
LEAVING_AT = datetime(2026, 1, 16, 20, 40, tzinfo=UTC)


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    text = (cabin / "cabin.toml").read_text().replace("volume_m3 = 60", 'volume_m3 = 60\nwater = "in"')
    (cabin / "cabin.toml").write_text(text)
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


@pytest.fixture
def opened(log: Path):
    with place_of(str(log / "log.db")).open() as found:
        yield found


def shown(folder: Path, capsys, *words: str) -> dict:
    assert run(folder, "list", *words, "--json") == 0
    return json.loads(capsys.readouterr().out)


def said(folder: Path, capsys, *words: str) -> str:
    assert run(folder, "list", *words) == 0
    return capsys.readouterr().out.strip()


def names(got: dict) -> list[str]:
    return [line["name"] for line in got["lines"]]


def refused(folder: Path, capsys, *words: str) -> str:
    assert run(folder, "list", *words) == 2
    return capsys.readouterr().err


# The contract


@pytest.mark.parametrize("name", list(ListName))
def test_every_list_keeps_to_the_contract(log, capsys, name):
    got = shown(log, capsys, name, "--as-of", AS_OF)
    assert got["list"] == name
    assert got["lines"]
    for line in got["lines"]:
        assert {"text", "done_at", "skipped_at", "why", "safety", "condition"} <= set(line)
        assert "{" not in line["text"], "every blank is filled in"
    assert got["as_of"] == "2026-01-16T21:40:00+01:00"


@pytest.mark.parametrize("name", list(ListName))
def test_every_page_fits_80_columns_and_defers_to_the_manual(log, capsys, monkeypatch, name):
    monkeypatch.setenv("COLUMNS", "80")
    for more in ((), ("--paper",), ("--droppings", "--guests", "--night-low", "-20")):
        page = said(log, capsys, name, "--as-of", AS_OF, *more)
        assert all(len(row) <= 80 for row in page.splitlines())
        assert "your stove's manual, local codes and licensed practice come before" in " ".join(page.split())


def test_without_a_name_the_list_wanted_now_is_shown(log, capsys):
    assert shown(log, capsys, "--as-of", "2026-01-16T17:00")["list"] == "arriving"
    assert shown(log, capsys, "--as-of", "2026-01-17T11:00")["list"] == "leaving"
    assert shown(log, capsys, "--as-of", COMING)["list"] == "packing"


def test_flags_say_what_the_log_does_not(log, capsys):
    plain = shown(log, capsys, "arriving", "--as-of", COMING)
    assert "droppings aired" not in names(plain)
    got = shown(log, capsys, "arriving", "--as-of", COMING, "--droppings", "--guests")
    assert names(got)[0] == "droppings aired"
    assert "guests shown" in names(got)
    assert got["lines"][0]["why"] == "droppings seen"
    cold = shown(log, capsys, "packing", "--as-of", COMING, "--night-low", "-9")
    mild = shown(log, capsys, "packing", "--as-of", COMING, "--night-low", "9")
    assert "cold weather things" in names(cold)
    assert "cold weather things" not in names(mild)


def test_a_log_without_a_description_has_lists(tmp_path, capsys):
    assert run(tmp_path, "note", "-5/12") == 0
    capsys.readouterr()
    assert "water drained" in names(shown(tmp_path, capsys, "leaving")), "water not known: taken to be there"


def test_degrees_are_the_owners(log, capsys):
    text = (log / "cabin.toml").read_text() + '\n[units]\ntemperature = "F"\n'
    (log / "f.toml").write_text(text)
    assert run(log, "setup", str(log / "f.toml"), "--from", "2026-01-01") == 0
    capsys.readouterr()
    page = " ".join(said(log, capsys, "arriving", "--as-of", COMING, "--night-low", "-9").split())
    assert "over 39 °F" in page
    assert "16 °F outside" in page
    assert "°C" not in page


# One truth with arrive and leave


@pytest.mark.parametrize(
    ("command", "name", "at"), [("arrive", "arriving", COMING), ("leave", "leaving", AS_OF)]
)
def test_arrive_and_leave_show_the_same_list(log, capsys, command, name, at):
    with place_of(str(log / "log.db")).open() as kept:
        acts.add_line(kept, name, "mouse traps set", now=LEAVING_AT, before="1")
    assert run(log, command, "--as-of", at, "--json") == 0
    checklist = json.loads(capsys.readouterr().out)["checklist"]
    assert all(isinstance(text, str) for text in checklist)
    lines = shown(log, capsys, name, "--as-of", at)["lines"]
    assert checklist == [line["text"] for line in lines if not line["done_at"]]
    assert "mouse traps set" in checklist


def test_a_safety_line_left_out_is_owned_up_to(log, capsys, opened):
    acts.leave_out(opened, "arriving", "chimney cap", now=LEAVING_AT)
    assert run(log, "arrive", "--as-of", COMING, "--json") == 0
    got = json.loads(capsys.readouterr().out)
    assert not any("chimney top" in text for text in got["checklist"])
    assert "Left out of the list by you: chimney cap." in got["assumed"]


def test_a_line_done_is_not_in_the_checklist_any_more(log, capsys, opened):
    acts.tick(opened, "leaving", "water drained", done=True, now=LEAVING_AT)
    assert run(log, "leave", "--as-of", AS_OF, "--json") == 0
    got = json.loads(capsys.readouterr().out)
    assert not any("Water drained" in text for text in got["checklist"])
    assert any("felt cold" in text for text in got["checklist"])


# Ticks


def test_a_tick_puts_its_time_in_the_margin_and_undo_takes_it_out(log, capsys, opened):
    noted = acts.tick(opened, "leaving", "drained", done=True, now=LEAVING_AT)
    assert noted.sentence == "Done 21:40: water drained."
    assert len(noted.event_ids) == 1
    line = shown(log, capsys, "leaving", "--as-of", AS_OF)["lines"][1]
    assert (line["name"], line["done_at"]) == ("water drained", "2026-01-16T21:40:00+01:00")
    assert "  21:40  2 Water drained" in said(log, capsys, "leaving", "--as-of", AS_OF)
    again = acts.tick(opened, "leaving", "2", done=True, now=LEAVING_AT)
    assert "already" in again.sentence
    assert not again.event_ids
    line_acts.undo(opened, now=LEAVING_AT)
    assert shown(log, capsys, "leaving", "--as-of", AS_OF)["lines"][1]["done_at"] is None


def test_a_skipped_line_returns_first_at_the_next_arrival(log, capsys, opened):
    acts.add_line(opened, "leaving", "roof vent shut", now=LEAVING_AT)
    noted = acts.tick(opened, "leaving", "roof vent", done=False, now=LEAVING_AT)
    assert "first on the list when you come back" in noted.sentence
    first = shown(log, capsys, "arriving", "--as-of", COMING)["lines"][0]
    assert first["text"] == "Skipped when leaving: roof vent shut"
    assert first["why"] == "skipped on Fri 16 Jan"
    assert run(log, "arrive", "--as-of", COMING, "--json") == 0
    assert json.loads(capsys.readouterr().out)["checklist"][0] == first["text"]
    line_acts.undo(opened, now=LEAVING_AT)
    assert "roof vent shut" not in names(shown(log, capsys, "arriving", "--as-of", COMING))


def test_a_tick_out_of_the_safe_order_says_what_comes_before(opened):
    now = datetime(2026, 1, 23, 15, 0, tzinfo=UTC)
    noted = acts.tick(opened, "arriving", "fire lit", done=True, now=now)
    assert "Not ticked, and meant to come before it" in noted.sentence
    assert "chimney cap" in noted.sentence
    assert "alarms at the door" in noted.sentence


def test_ticking_the_alarms_is_the_alarm_test(log, capsys, opened):
    now = datetime(2026, 1, 23, 15, 0, tzinfo=UTC)
    acts.tick(opened, "arriving", "alarms at the door", done=True, now=now)
    assert opened.entries()[-1].alarms_tested
    acts.tick(opened, "arriving", "alarms again", done=False, now=now)
    assert not opened.entries()[-1].alarms_tested, "skipped is not tested"


def test_what_is_packed_is_off_the_bring_list(opened):
    asked = Entry(at=LEAVING_AT, matter=Bring(item="lamp oil", amount=0.5, unit="L"))
    opened.add([NewEvent(entry=asked)])
    later = LEAVING_AT + timedelta(days=4)
    acts.tick(opened, "packing", "lamp oil", done=True, now=later)
    assert Bring(item="lamp oil", got=True) in [entry.matter for entry in opened.entries()]
    line_acts.undo(opened, now=later)
    assert [e.matter for e in opened.entries() if e.matter] == [asked.matter], "both in one act"


def test_a_line_ticked_stays_in_its_round_when_its_condition_is_over(opened):
    now = datetime(2026, 1, 23, 15, 0, tzinfo=UTC)
    acts.tick(opened, "arriving", "fire lit", done=True, now=now)
    lit = now + timedelta(minutes=10)
    opened.add([NewEvent(entry=Entry(at=lit, load_kg=1.6, kindling=True, indoor_c=-2.0))])
    got = acts.list_now(opened, "arriving", now=lit + timedelta(minutes=10))
    assert "cold stove" not in got.conditions
    (line,) = [line for line in got.lines if line.key == "light"]
    assert line.done_at == now


def test_a_tick_typed_as_a_line_counts(log, capsys, opened):
    line_acts.note(opened, "21:35 done leaving: water drained", now=LEAVING_AT)
    line_acts.note(opened, "skip leaving: ash of today", now=LEAVING_AT)
    got = {line["name"]: line for line in shown(log, capsys, "leaving", "--as-of", AS_OF)["lines"]}
    assert got["water drained"]["done_at"] == "2026-01-16T21:35:00+01:00"
    assert got["ash of today"]["skipped_at"] == "2026-01-16T21:40:00+01:00"


# The owner's own list


def test_add_move_out_and_back_with_undo(log, capsys, opened):
    def order() -> list[str]:
        return [line.name for line in acts.list_now(opened, "leaving", now=LEAVING_AT).lines]

    usual = order()
    acts.add_line(opened, "leaving", "mouse traps set", now=LEAVING_AT, before="3")
    added = order()
    assert added == [*usual[:2], "mouse traps set", *usual[2:]]
    acts.add_line(opened, "leaving", "roof vent shut", now=LEAVING_AT)
    assert order()[-2:] == ["roof vent shut", "written down"], "before the last line, which says left"
    said_of = acts.move_line(opened, "leaving", "roof vent", "mouse traps", now=LEAVING_AT)
    assert order()[2:4] == ["roof vent shut", "mouse traps set"]
    assert said_of.sentence == "Line 3: roof vent shut"
    acts.leave_out(opened, "leaving", "mouse traps", now=LEAVING_AT)
    assert "mouse traps set" not in order()
    acts.leave_out(opened, "leaving", "ash of today", now=LEAVING_AT)
    assert "ash of today" not in order()
    page = said(log, capsys, "leaving", "--as-of", AS_OF)
    assert "Left out by you: ash of today" in page
    acts.put_back(opened, "leaving", "ash of today", now=LEAVING_AT)
    assert "ash of today" in order()
    for _ in range(6):
        line_acts.undo(opened, now=LEAVING_AT)
    assert order() == usual
    line_acts.redo(opened, now=LEAVING_AT)
    assert order() == added


def test_a_move_that_safety_forbids_says_so(opened):
    now = datetime(2026, 1, 23, 15, 0, tzinfo=UTC)
    got = acts.move_line(opened, "arriving", "fire lit", "1", now=now)
    assert "for safety it stays after: flue warmed" in got.sentence
    names_now = [line.name for line in acts.list_now(opened, "arriving", now=now).lines]
    assert names_now.index("fire lit") > names_now.index("flue warmed") > names_now.index("chimney cap")


def test_a_line_for_frost_waits_for_frost(log, capsys, opened):
    noted = acts.add_line(
        opened, "leaving", "bottles in", now=datetime(2026, 7, 10, 12, tzinfo=UTC), when=["frost"]
    )
    assert noted.sentence.startswith("Kept for later")
    line = {line["name"]: line for line in shown(log, capsys, "leaving", "--as-of", AS_OF)["lines"]}[
        "bottles in"
    ]
    assert line["condition"] == "frost"
    assert line["why"] == "frost ahead, −10 °C outside"


def test_lists_of_two_logs_meet_in_the_newest(opened):
    """A list is kept whole: whoever changed it last decides, and nothing else of the log changes."""
    acts.add_line(opened, "packing", "skis", now=LEAVING_AT)
    acts.add_line(opened, "packing", "sledge", now=LEAVING_AT)
    kept = json.loads(opened.setting("list packing"))
    assert {"skis", "sledge"} <= {line["text"] for line in kept["lines"]}
    assert any(line.get("safety") for line in kept["lines"])
    assert opened.setting("list leaving") is None


def test_owners_words_are_never_filled_in(log, capsys, opened):
    acts.add_line(opened, "leaving", "write {ash} on the lid", now=LEAVING_AT)
    assert "write {ash} on the lid" in said(log, capsys, "leaving", "--as-of", AS_OF)


def test_from_the_shell(log, capsys):
    assert said(log, capsys, "packing", "--add", "skis", "--before", "2") == "Line 2: skis"
    assert said(log, capsys, "packing", "--move", "2", "1") == "Line 1: skis"
    assert said(log, capsys, "packing", "--done", "skis").startswith("Done ")
    assert run(log, "list", "packing", "--skip", "keys", "--json") == 0
    got = json.loads(capsys.readouterr().out)
    assert got["sentence"].startswith("Skipped ")
    assert len(got["ids"]) == 1
    assert said(log, capsys, "packing", "--out", "skis").startswith("Left out by you: skis")
    assert run(log, "undo") == 0
    assert "a page or list of your own" in capsys.readouterr().out
    assert said(log, capsys, "packing", "--out", "alarm batteries").count("It is there for safety")
    assert said(log, capsys, "packing", "--back", "alarm batteries") == "Back in packing: alarm batteries."


BAD = [
    (("sailing",), "no list 'sailing'"),
    (("packing", "--done", "99"), "'99' is not one line of packing"),
    (("packing", "--done", "zebra"), "'zebra' is not one line"),
    (("packing", "--add", " "), "no words"),
    (("packing", "--add", "x", "--when", "hail"), "nothing a line can depend on"),
    (("packing", "--when", "frost"), "go with a new line"),
    (("leaving", "--add", "Fire  OUT"), "in this list already"),
    (("packing", "--back", "keys"), "was not left out"),
    (("packing", "--done", "1", "--as-of", AS_OF), "not --as-of another time"),
    (("packing", "--night-low", "-300"), "can't be"),
    (("packing", "--done", "1", "--skip", "2"), "not allowed with"),
]


@pytest.mark.parametrize(("words", "why"), BAD)
def test_bad_input_is_refused_with_what_to_do(log, capsys, words, why):
    error = refused(log, capsys, *words)
    assert why in error
    assert len(error.strip().splitlines()) == 2


def test_what_stands_for_this_round_only_cannot_be_moved(opened):
    acts.tick(opened, "leaving", "water drained", done=False, now=LEAVING_AT)
    now = datetime(2026, 1, 23, 15, 0, tzinfo=UTC)
    with pytest.raises(BadInputError, match="for this round only"):
        acts.leave_out(opened, "arriving", "water drained", now=now)


def test_paper_has_a_blank_for_each_time(log, capsys):
    page = said(log, capsys, "leaving", "--paper", "--as-of", AS_OF)
    assert page.splitlines()[0].startswith("Leaving   Rushlight   Fri 16 Jan 2026")
    got = shown(log, capsys, "leaving", "--as-of", AS_OF)
    assert run(log, "list", "leaving", "--out", "aired") == 0
    capsys.readouterr()
    without = said(log, capsys, "leaving", "--paper", "--as-of", AS_OF)
    assert "Left out by you: aired." in without, "said on paper too, without the command"
    assert "--back" not in without
    assert run(log, "undo") == 0
    capsys.readouterr()
    assert page.count("__:__") == len([line for line in got["lines"] if not line["done_at"]])


def test_numbers_line_up_and_words_hang_beside_them():
    rows = list(in_columns([("12:40", " 3 " + "word " * 20), ("", "plain " * 20)], 60))
    assert rows[0].startswith("  12:40  3 word")
    assert rows[1].startswith(" " * 11 + "word")
    assert rows[-1].startswith(" " * 8 + "plain")
    assert all(len(row) <= 60 for row in rows)


def test_a_list_of_a_long_log_comes_at_once(opened):
    """Every key in the app asks for it: 3,000 lines of five winters within a third of a second."""
    start = datetime(2021, 1, 1, 12, 0, tzinfo=UTC)
    rows = [
        NewEvent(entry=Entry(at=start + timedelta(hours=14 * n), indoor_c=12.0, outdoor_c=-3.0, load_kg=2.0))
        for n in range(3000)
    ]
    opened.add(rows)
    began = time.process_time()
    acts.list_now(opened, "leaving", now=LEAVING_AT)
    assert time.process_time() - began < 1.5, "its own work; an old machine has five times as long"


# ash tipped too early


def test_ash_tipped_before_its_time_has_one_date_in_every_answer(log, capsys):
    """due and leave gave the date; the lists once gave none, as if there were no ash anywhere."""
    assert run(log, "note", "2026-01-16 10:00 ash out") == 0
    assert run(log, "note", "2026-01-16 15:00 ash tipped behind the shed") == 0
    capsys.readouterr()
    until = "2026-01-20T10:00:00+01:00"  # 96 h on, by the calendar
    assert run(log, "due", "--as-of", AS_OF, "--json") == 0
    assert json.loads(capsys.readouterr().out)["ash"]["not_before"] == until
    assert run(log, "leave", "--as-of", AS_OF, "--json") == 0
    assert json.loads(capsys.readouterr().out)["ash_not_before"] == until
    for name in ("leaving", "arriving", "spring", "autumn"):
        assert shown(log, capsys, name, "--as-of", AS_OF)["ash_not_before"] == until
        words = " ".join(said(log, capsys, name, "--as-of", AS_OF).split())
        assert "take it as live until Tue 20 Jan 10:00" in words
    after = "2026-01-20T11:00"
    assert shown(log, capsys, "leaving", "--as-of", after)["ash_not_before"] is None


def test_what_notes_of_the_leaving_ask_for_is_packed_and_goes_off_both_lists_when_ticked(log, capsys):
    """bring had the matches from "out of matches", packing did not: who packed by the list went without."""
    for line in ("2026-01-18 10:00 out of matches and coffee", "2026-01-18 12:00 left in 15"):
        assert run(log, "note", "--yes", line) == 0
    capsys.readouterr()
    names = [line["name"] for line in shown(log, capsys, "packing")["lines"]]
    assert names[:2] == ["matches", "coffee"]
    assert run(log, "list", "packing", "--done", "matches") == 0
    capsys.readouterr()
    lines = {line["name"]: line["done_at"] for line in shown(log, capsys, "packing")["lines"]}
    assert lines["matches"] is not None and lines["coffee"] is None
    assert run(log, "bring", "--json") == 0
    items = [item["item"] for item in json.loads(capsys.readouterr().out)["items"]]
    assert "coffee" in items and "matches" not in items
