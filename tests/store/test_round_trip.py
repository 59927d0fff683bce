"""An export is the log: read back it is equal to the last bit, or it is refused with a sentence."""

from __future__ import annotations

import json
import os
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "scripts"))

from benching.random_logs import HOSTILE, Dice, dump, write_random  # noqa: E402

from logbook.actions.reading_back import is_export, read_back  # noqa: E402
from logbook.errors import BadInputError, LogFileError  # noqa: E402
from logbook.matters import KINDS  # noqa: E402
from logbook.records import Entry, NewEvent  # noqa: E402
from logbook.store.copies import check  # noqa: E402
from logbook.store.log import Log, open_log  # noqa: E402
from logbook.store.tables_out import EVENTS_FILE, export_log  # noqa: E402


def exported(path: Path, folder: Path) -> Path:
    with open_log(path) as log:
        export_log(log, folder, zone="Europe/Oslo")
    return folder / EVENTS_FILE


def back(path: Path, source: Path, *, preview: bool = False) -> int:
    with open_log(path) as log:
        return read_back(log, source, preview=preview).added


@pytest.fixture
def written(tmp_path: Path) -> Path:
    """A random log and its export beside it."""
    write_random(tmp_path / "one.db", seed=5, acts=25)
    exported(tmp_path / "one.db", tmp_path / "out")
    return tmp_path


@pytest.mark.parametrize("seed", range(6))
def test_a_log_read_back_is_equal_to_the_last_bit(tmp_path: Path, seed: int) -> None:
    one, other, third = (tmp_path / f"{name}.db" for name in ("one", "other", "third"))
    events = write_random(one, seed=seed, acts=20)
    lines = exported(one, tmp_path / "out")
    assert back(other, tmp_path / "out") == events
    assert dump(other) == dump(one)
    assert exported(other, tmp_path / "again").read_bytes() == lines.read_bytes()
    assert back(other, tmp_path / "out") == 0, "a second time adds nothing"
    assert dump(other) == dump(one)
    assert check(other).sound
    # What holds follows from the events alone.
    with open_log(one) as log, open_log(other) as same:
        assert same.current_entries() == log.current_entries()
        assert same.descriptions() == log.descriptions()
    # Into a log that holds something else: both.
    write_random(third, seed=seed + 1000, acts=5)
    before = dump(third)
    back(third, tmp_path / "out")
    for table, rows in dump(third).items():
        assert sorted({*rows}, key=repr) == sorted({*dump(one)[table], *before[table]}, key=repr)


def test_every_kind_of_matter_and_every_hostile_text_goes_there_and_back(tmp_path: Path) -> None:
    dice = Dice(3)
    with open_log(tmp_path / "one.db") as log:
        matters = [dice.matter() for _ in range(400)]
        assert {type(matter) for matter in matters} == set(KINDS.values())
        log.add([NewEvent(entry=Entry(at=dice.moment(), matter=matter)) for matter in matters])
        log.add(
            [NewEvent(entry=Entry(at=dice.moment(), note=text, pieces=text), line=text) for text in HOSTILE]
        )
    exported(tmp_path / "one.db", tmp_path / "out")
    back(tmp_path / "two.db", tmp_path / "out")
    assert dump(tmp_path / "two.db") == dump(tmp_path / "one.db")


def test_the_lines_steer_no_screen_and_part_nowhere(written: Path) -> None:
    text = (written / "out" / EVENTS_FILE).read_text(encoding="utf-8")
    assert len(text.splitlines()) == text.count("\n"), "a line separator in a note is escaped"
    assert not any(sign < " " and sign != "\n" for sign in text)
    assert not set(text) & set("\x7f\x85\x9b\u2028\u2029\u200b\u200f\u202e\u2066\ufeff")


def test_without_changing_anything_a_preview_counts(written: Path) -> None:
    here = written / "here.db"
    with open_log(here) as log:
        log.add([NewEvent(entry=Dice(1).entry())])
    before = dump(here)
    would = back(here, written / "out", preview=True)
    assert dump(here) == before
    assert would == back(here, written / "out")
    assert back(here, written / "out", preview=True) == 0


def changed_lines(lines: list[str]) -> dict[str, list[str]]:
    """What may befall a file of events, and a word of what is said then."""
    record = next(n for n, line in enumerate(lines) if '"act":"record"' in line)
    said = json.loads(lines[record])
    said["entry"]["at"] = "2026-02-30T00:00:00.000000Z"
    newer = json.dumps({**json.loads(lines[0]), "version": 99}) + "\n"
    unknown = json.dumps({**json.loads(lines[record]), "mood": "fine"}) + "\n"
    return {
        "cut short": lines[:-1],
        "whole line": [*lines[:-1], lines[-1][: len(lines[-1]) // 2]],
        "line is cut": [*lines[:-1], lines[-1].rstrip("\n")],
        "digest": [line.replace('"zone":"', '"zone":"X') for line in lines],
        "not a time": [*lines[:record], json.dumps(said) + "\n", *lines[record + 1 :]],
        "does not begin": lines[1:],
        "newer version of this program": [newer, *lines[1:]],
        "not known here": [*lines[:record], unknown, *lines[record + 1 :]],
        "UNIQUE": [lines[0], *lines[1:-1], lines[1]],
    }


@pytest.mark.parametrize("word", [*changed_lines(['{"version": 1}\n', '{"act":"record","entry":{}}\n'])])
def test_a_damaged_file_of_events_changes_nothing(written: Path, word: str) -> None:
    file = written / "out" / EVENTS_FILE
    lines = file.read_text(encoding="utf-8").split("\n")
    lines = [line + "\n" for line in lines[:-1]]
    file.write_text("".join(changed_lines(lines)[word]), encoding="utf-8", newline="")
    here = written / "here.db"
    open_log(here).close()
    before = dump(here)
    with pytest.raises(LogFileError, match=word) as caught:
        back(here, written / "out")
    assert len(str(caught.value)) < 700
    assert dump(here) == before


def test_no_byte_of_the_file_can_flip_unseen(written: Path) -> None:
    """A flipped bit is refused, or it made no difference to what was meant."""
    file = written / "out" / EVENTS_FILE
    whole = file.read_bytes()
    one = dump(written / "one.db")
    dice = Dice(9).random
    for n in range(20):
        at, bit = dice.randrange(len(whole)), 1 << dice.randrange(8)
        file.write_bytes(whole[:at] + bytes([whole[at] ^ bit]) + whole[at + 1 :])
        here = written / f"flipped {n}.db"
        try:
            back(here, written / "out")
        except LogFileError:
            continue
        assert dump(here) == one, f"byte {at}, bit {bit}"


def test_an_event_the_log_has_otherwise_is_refused(written: Path) -> None:
    here = written / "here.db"
    back(here, written / "out")
    lines = (written / "out" / EVENTS_FILE).read_text(encoding="utf-8").split("\n")
    record = next(n for n, line in enumerate(lines) if '"act":"record"' in line)
    said = json.loads(lines[record])
    said["line"] += " and more"
    del said["digest"]  # whoever changes it on purpose can leave that out
    lines[record] = json.dumps(said)
    (written / "out" / EVENTS_FILE).write_text("\n".join(lines), encoding="utf-8", newline="")
    before = dump(here)
    with pytest.raises(LogFileError, match="otherwise"):
        back(here, written / "out")
    assert dump(here) == before


def test_a_folder_without_events_says_what_to_name(tmp_path: Path) -> None:
    assert is_export(tmp_path)
    assert not is_export(tmp_path / "table.csv")
    with open_log(tmp_path / "one.db") as log, pytest.raises(BadInputError, match=r"no events\.jsonl"):
        read_back(log, tmp_path)


# The folder


def test_nobody_else_may_read_it_and_nothing_else_there_is_touched(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / "mine.txt").write_text("mine")
    (folder / "logger.csv").write_text("of an earlier export")
    log = opened()
    log.add([NewEvent(entry=Entry(at=Dice(1).moment(), indoor_c=20.0))])
    paths = export_log(log, folder, zone="UTC")
    assert (folder / "mine.txt").read_text() == "mine"
    assert {path.name for path in folder.iterdir()} == {"mine.txt", *(path.name for path in paths)}
    assert not (folder / "logger.csv").exists(), "it would tell of another log"
    if os.name == "posix":
        assert {stat.S_IMODE(path.stat().st_mode) for path in paths} == {0o600}


def test_a_failure_leaves_the_folder_as_it_was(
    opened: Callable[..., Log], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log, folder = opened(), tmp_path / "out"
    log.add([NewEvent(entry=Entry(at=Dice(1).moment(), indoor_c=20.0))])
    export_log(log, folder, zone="UTC")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    log.add([NewEvent(entry=Entry(at=Dice(2).moment(), indoor_c=21.0))])

    def full(held: object) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("logbook.store.tables_out.event_line", full)
    with pytest.raises(LogFileError, match="No space left"):
        export_log(log, folder, zone="UTC")
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    log.add([NewEvent(entry=Entry(at=Dice(3).moment(), indoor_c=22.0))])  # and the log can still be written


def test_a_folder_of_a_files_name_is_refused_before_anything_is_replaced(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    (tmp_path / "out" / EVENTS_FILE).mkdir(parents=True)
    with pytest.raises(LogFileError, match="is a folder"):
        export_log(opened(), tmp_path / "out", zone="UTC")
    assert [path.name for path in (tmp_path / "out").iterdir()] == [EVENTS_FILE]


def test_what_another_window_writes_meanwhile_is_in_all_files_or_in_none(
    opened: Callable[..., Log], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log, other = opened("one.db"), open_log(tmp_path / "one.db")
    log.add([NewEvent(entry=Entry(at=Dice(1).moment(), indoor_c=20.0))])
    held = sys.modules["logbook.store.tables_out"].held_in_order

    def while_another_writes(db: object) -> object:
        other.add([NewEvent(entry=Entry(at=Dice(2).moment(), indoor_c=21.0))])
        return held(db)

    monkeypatch.setattr("logbook.store.tables_out.held_in_order", while_another_writes)
    export_log(log, tmp_path / "out", zone="UTC")
    other.close()
    counts = {
        name: (tmp_path / "out" / name).read_text().count("\n") for name in ("notebook.csv", "history.csv")
    }
    assert counts == {"notebook.csv": 2, "history.csv": 2}
    assert json.loads((tmp_path / "out" / EVENTS_FILE).read_text().split("\n")[0])["events"] == 1
