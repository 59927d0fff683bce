"""merge, conflicts and the copies made by themselves, as typed: two computers, two cabins, a full disk."""

from __future__ import annotations

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from small_cabin import cabin

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.cli import main
from logbook.store.log import open_log

__all__ = ["cabin"]


def run(path: Path, *words: str) -> int:
    return main(["--log", str(path), *words])


def told(capsys: pytest.CaptureFixture[str]) -> str:
    return capsys.readouterr().out


@pytest.fixture
def two(cabin: Path, capsys: pytest.CaptureFixture[str]) -> tuple[Path, Path]:
    """One log on two computers: each edited the first line, one left out the second."""
    mine, yours = cabin / "mine.db", cabin / "yours.db"
    assert run(mine, "setup", str(cabin / "cabin.toml")) == 0
    with open_log(mine, device="mine") as log:
        pass
    run(mine, "note", "-12/18"), run(mine, "note", "in 19")
    shutil.copy(mine, yours)
    for path, device, words in ((mine, "mine", ("in 15", "in 20")), (yours, "yours", ("in 25", ""))):
        with open_log(path, device=device) as log:
            lines = log.current_entries()
            for line, text in zip(lines, words, strict=True):
                if text:
                    from logbook.actions.lines import edit  # noqa: PLC0415 - a helper of this fixture alone

                    edit(log, line.uuid, text, now=line.written_at)
                else:
                    log.remove(line.uuid)
    capsys.readouterr()
    return mine, yours


def test_merge_says_what_both_changed_and_what_holds(two, capsys) -> None:
    mine, yours = two
    assert run(mine, "merge", str(yours)) == 0
    said = told(capsys)
    assert "2 events were new." in said
    assert said.count("changed on two computers apart from each other") == 2
    assert "1  holds: " in said and "in 25.0 °C" in said and "in 15.0 °C" in said
    assert "left out" in said and "in 20.0 °C" in said
    assert "nightload conflicts" in said


def test_it_stays_listed_until_it_is_settled(two, capsys) -> None:
    mine, yours = two
    run(mine, "merge", str(yours)), told(capsys)
    assert run(mine, "merge", str(yours)) == 0
    assert "Nothing new" in told(capsys)
    assert run(mine, "check") == 0
    assert "2 things were changed on two computers" in told(capsys)
    assert run(mine, "conflicts", "--json") == 0
    first, _ = json.loads(told(capsys))["conflicts"]
    assert [side["entry"]["indoor_c"] for side in first["sides"]] == [25.0, 15.0]
    assert [side["holds"] for side in first["sides"]] == [True, False]
    assert run(mine, "conflicts", first["id"][:8], "2") == 0
    assert "in 15.0 °C" in told(capsys)
    run(mine, "events")
    assert "in 15.0 °C" in told(capsys)
    run(mine, "check", "--json")
    assert json.loads(told(capsys))["unsettled"] == 1
    run(mine, "undo")
    assert told(capsys).endswith("Open again: nightload conflicts\n")
    run(mine, "check", "--json")
    assert json.loads(told(capsys))["unsettled"] == 2


def test_taking_back_what_settled_by_leaving_out_says_that_and_no_other_thing(two, capsys) -> None:
    """It was told as a page or list of the owner's own."""
    mine, yours = two
    run(mine, "merge", str(yours)), told(capsys)
    run(mine, "conflicts", "--json")
    sides = {c["id"]: [s["entry"] for s in c["sides"]] for c in json.loads(told(capsys))["conflicts"]}
    (ident, entries) = next((i, e) for i, e in sides.items() if None in e)
    assert run(mine, "conflicts", ident[:8], str(entries.index(None) + 1)) == 0
    told(capsys)
    assert run(mine, "undo") == 0
    said, beside = capsys.readouterr()
    assert (said, beside) == ("Taken back: an entry left out. Open again: nightload conflicts\n", "")
    run(mine, "redo")
    assert told(capsys) == "Brought back: an entry left out\n"


@pytest.mark.parametrize(
    ("words", "says"),
    [(("zzz", "1"), "No unsettled"), (("{}", "7"), "has 2 sides, so 7"), (("{}",), "Which side")],
)
def test_what_cannot_be_settled_so(two, capsys, words, says) -> None:
    mine, yours = two
    run(mine, "merge", str(yours)), told(capsys)
    run(mine, "conflicts", "--json")
    ident = json.loads(told(capsys))["conflicts"][0]["id"]
    assert run(mine, "conflicts", *(word.format(ident) for word in words)) == 2
    assert says in capsys.readouterr().err


def test_nothing_to_settle_says_so(two, capsys) -> None:
    assert run(two[0], "conflicts") == 0
    assert "Nothing that two computers changed" in told(capsys)


def test_a_log_of_another_cabin_is_asked_about_first(two, cabin, capsys) -> None:
    mine, _ = two
    other = cabin / "other.db"
    text = (cabin / "cabin.toml").read_text().replace("volume_m3 = 60", "volume_m3 = 90")
    (cabin / "other.toml").write_text(text)
    run(other, "setup", str(cabin / "other.toml")), run(other, "note", "in 7"), told(capsys)
    before = mine.read_bytes()
    assert run(mine, "merge", str(other)) == 1
    assert "describes another cabin" in capsys.readouterr().err
    assert mine.read_bytes() == before
    assert not (cabin / "mine copies").exists()
    assert run(mine, "merge", str(other), "--yes") == 0
    assert "in 7" in (run(mine, "events"), told(capsys))[1]


def test_a_merge_by_mistake_is_taken_back_by_the_copy_made_before(two, cabin, capsys) -> None:
    mine, yours = two
    run(mine, "events"), run(mine, "conflicts")
    before = told(capsys)
    run(mine, "merge", str(yours), "--json")
    copy = json.loads(told(capsys))["copy"]
    assert run(mine, "restore", copy) == 0
    told(capsys)
    run(mine, "events"), run(mine, "conflicts")
    assert told(capsys) == before


def copies(log: Path) -> list[Path]:
    folder = log.parent / f"{log.stem} copies"
    return sorted(folder.iterdir()) if folder.exists() else []


def test_leaving_makes_a_copy_and_says_where(two, capsys) -> None:
    mine, _ = two
    run(mine, "note", "in 21")
    assert copies(mine) == []
    told(capsys)
    assert run(mine, "note", "left") == 0
    (copy,) = copies(mine)
    assert f"A copy of the log is kept: {copy}" in told(capsys)
    with open_log(copy, create=False) as kept:
        assert [e.mark for e in kept.entries()][-1] == "left"


def test_the_last_line_of_the_leaving_list_makes_one_too(two, capsys) -> None:
    mine, _ = two
    run(mine, "list", "leaving", "--json")
    lines = [line["name"] for line in json.loads(told(capsys))["lines"]]
    for name in lines:
        assert copies(mine) == []
        assert run(mine, "list", "leaving", "--done", name) == 0
    assert len(copies(mine)) == 1
    assert "A copy of the log is kept" in told(capsys)


def test_a_copy_that_cannot_be_made_stops_nothing(two, capsys) -> None:
    mine, yours = two
    (mine.parent / "mine copies").write_text("a file where the folder should be")
    assert run(mine, "note", "left", "--json") == 0
    kept = json.loads(told(capsys))
    assert kept["copy"] is None and "No copy of the log could be made by itself" in kept["copy_trouble"]
    assert run(mine, "merge", str(yours)) == 0
    said = capsys.readouterr()
    assert "events were new" in said.out and "No copy of the log could be made" in said.err


def test_due_says_when_the_last_copy_was_made(two, capsys) -> None:
    mine, _ = two
    assert run(mine, "due") == 0
    assert "No copy of the log lies beside it yet." in told(capsys)
    run(mine, "backup"), told(capsys)
    run(mine, "due", "--json")
    assert json.loads(told(capsys))["last_copy"]
    run(mine, "due")
    assert "Last copy of the log: " in told(capsys)


def test_the_app_and_the_list_of_events_mark_what_is_not_settled(two, capsys) -> None:
    mine, yours = two
    run(mine, "merge", str(yours))
    desk = AppDesk(Place(mine))
    marked = [line.sentence for line in desk.latest(9) if line.sentence.startswith("(nightload conflicts) ")]
    assert len(marked) == 1, "the other one is left out"
    assert "in 25.0" in marked[0]
    told(capsys)
    run(mine, "events", "--json")
    assert [event["conflict"] for event in json.loads(told(capsys))["events"]] == [True]
    desk.edit(desk.latest(1)[0].event_id, desk.read("in 22"))
    assert not any("conflicts" in line.sentence for line in desk.latest(9))
    desk.close()


def test_backup_names_the_copies_that_lay_there_before(two, capsys) -> None:
    mine, _ = two
    assert run(mine, "backup") == 0
    first = told(capsys)
    assert "Earlier" not in first
    assert run(mine, "backup", "--json") == 0
    answered = json.loads(told(capsys))
    assert [Path(name).name for name in answered["earlier"]] == [Path(first.strip()).name]
    for _ in range(11):
        run(mine, "backup")
    said = told(capsys)
    assert said.rstrip().endswith("and 2 older")
    assert len(set(Path(first.removeprefix("Copied to ").strip()).parent.iterdir())) == 13


def table(path: Path, rows: int) -> Path:
    """A CSV of so many readings, a minute apart."""
    lines = [f"2026-01-{1 + n // 1440:02d}T{n // 60 % 24:02d}:{n % 60:02d},{n % 7}" for n in range(rows)]
    path.write_text("at,indoor_c\n" + "\n".join(lines))
    return path


def test_the_log_is_copied_before_many_rows_come_in_and_not_before_few(two, capsys) -> None:
    mine, _ = two
    with open_log(mine) as log:
        before = len(log.entries())
    assert run(mine, "import", str(table(mine.with_name("few.csv"), 20))) == 0
    assert "kept as" not in told(capsys)
    many = str(table(mine.with_name("many.csv"), 130))
    assert run(mine, "import", many, "--preview") == 0
    assert "kept as" not in told(capsys)
    assert run(mine, "import", many) == 0
    (kept,) = [row for row in told(capsys).splitlines() if "As it was before" in row]
    copy = Path(kept.partition("kept as ")[2].partition(";")[0])
    with open_log(copy, create=False) as log:
        assert len(log.entries()) == before + 20
    assert run(mine, "import", many) == 0
    assert "kept as" not in told(capsys), "nothing was new"


def test_the_log_is_copied_before_an_export_is_read_back(two, capsys) -> None:
    mine, yours = two
    assert run(yours, "export", str(yours.with_name("out"))) == 0
    assert run(mine, "import", str(yours.with_name("out")), "--preview") == 0
    assert "kept as" not in told(capsys)
    assert run(mine, "import", str(yours.with_name("out"))) == 0
    said = told(capsys)
    assert "Brought in 2 of" in said
    copy = Path(said.partition("kept as ")[2].partition(";")[0])
    with open_log(copy, create=False) as log, open_log(mine) as now:
        assert len(now.events()) == len(log.events()) + 2
    assert run(mine.with_name("new.db"), "import", str(yours.with_name("out"))) == 0
    assert "kept as" not in told(capsys), "an empty log needs no copy"


def test_a_copy_that_fails_stops_no_import(two, capsys) -> None:
    mine, _ = two
    folder = Place(mine).copies
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.write_text("in the way")
    assert run(mine, "import", str(table(mine.with_name("many.csv"), 130))) == 0
    got = capsys.readouterr()
    assert "Brought in 130 of 130" in got.out and "kept as" not in got.out
    assert "No copy of the log could be made" in got.err


def test_one_is_not_told_as_many(cabin: Path, capsys: pytest.CaptureFixture[str]) -> None:
    mine, yours, table = cabin / "mine.db", cabin / "yours.db", cabin / "t.csv"
    run(mine, "setup", str(cabin / "cabin.toml")), run(mine, "note", "2026-01-02 20:00 in 18")
    shutil.copy(mine, yours)
    run(yours, "note", "2026-01-03 20:00 in 19"), told(capsys)
    run(mine, "merge", str(yours))
    assert told(capsys).startswith("1 event was new.\n")
    run(mine, "check")
    assert told(capsys) == "Sound: 4 events, 2 entries, 1 description.\n"
    table.write_text("at,indoor_c\n2026-01-04 20:00,17\n2026-01-05 20:00,16\n")
    run(mine, "import", str(table))
    table.write_text("at,indoor_c\n2026-01-05 20:00,16\n2026-01-06 20:00,15\n")
    told(capsys), run(mine, "import", str(table))
    assert "\n1 row is in the log already and adds nothing.\n" in told(capsys)
    with closing(sqlite3.connect(mine)) as db:
        db.execute("UPDATE entry SET indoor_c = 18.5 WHERE event = (SELECT min(event) FROM entry)")
        db.commit()
    assert run(mine, "check") == 3
    assert "is damaged: 1 problem.\n" in capsys.readouterr().err


def test_a_page_typed_on_both_computers_is_said(cabin: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The wood would count twice as burned, and nobody said so; said once, not at every merge."""
    mine, yours = cabin / "mine.db", cabin / "yours.db"
    assert run(mine, "setup", str(cabin / "cabin.toml")) == 0
    shutil.copy(mine, yours)
    page = ("3 jan 2026 19:30 -4/17 3 kg", "3 jan 2026 22:30 4.5 kg", "4 jan 2026 7:00 in 12")
    for line in page:
        assert run(mine, "note", line, "--yes") == 0
    for line in (*page, "4 jan 2026 9:00 2 kg"):
        assert run(yours, "note", line, "--yes") == 0
    told(capsys)
    assert run(mine, "merge", str(yours)) == 0
    said = told(capsys)
    assert "2 loads of wood stand here twice now, at the same times (Sat 3 Jan)" in said
    assert run(mine, "note", "4 jan 2026 9:00 1 kg", "--yes") == 0  # another load at a time there is one
    told(capsys)
    assert run(yours, "merge", str(mine)) == 0
    assert "2 loads of wood stand here twice" in told(capsys)
    assert run(mine, "merge", str(yours)) == 0
    assert "twice" not in told(capsys)
