"""A log of every past format, built from SQL frozen when that format was current, answers as it did then."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from log_lines import said
from small_cabin import learn_quickly

from logbook.cli import main
from logbook.records import Event
from logbook.store import schema
from logbook.store.log import Log, open_log
from logbook.store.merging import merge
from logbook.store.soundness import check

FROZEN = Path(__file__).parents[1] / "data" / "past_formats"
"""``format_N.sql`` is the dump of a log by the program of that time, ``format_N.json`` its answers."""

FORMATS = sorted(int(path.stem.removeprefix("format_")) for path in FROZEN.glob("*.sql"))


def built(path: Path, version: int) -> Path:
    with closing(sqlite3.connect(path)) as db:
        db.executescript((FROZEN / f"format_{version}.sql").read_text(encoding="utf-8"))
    return path


def answered_then(version: int) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((FROZEN / f"format_{version}.json").read_text(encoding="utf-8"))
    return found


def answers(log: Log) -> dict[str, Any]:
    then = answered_then(2)
    return {
        "events": [in_short(event) for event in log.events()],
        "hold": [event.uuid for event in log.current_entries()],
        "descriptions": [[d.uuid, d.valid_from and d.valid_from.isoformat()] for d in log.descriptions()],
        "settings": {name: log.setting(name) for name in then["settings"]},
        "kept": {name: log.kept_here(name) for name in then["kept"]},
    }


def in_short(e: Event) -> list[Any]:
    entry = e.entry and [
        *(
            e.entry.at.isoformat(),
            e.entry.indoor_c,
            e.entry.load_kg,
            e.entry.place,
            (e.entry.note or "")[:40],
        ),
        e.entry.matter and type(e.entry.matter).__name__,
        sorted(e.entry.flags),
    ]
    typed = [[t.name, t.text, t.unit] for t in e.typed]
    who = [e.uuid, e.device, e.counter, str(e.act), e.batch, e.supersedes, e.line, e.written_at.isoformat()]
    return [*who, typed, entry]


def test_every_format_up_to_this_one_is_frozen() -> None:
    assert list(range(1, schema.SCHEMA_VERSION + 1)) == FORMATS


@pytest.mark.parametrize("version", FORMATS)
def test_it_opens_and_answers_the_same(tmp_path: Path, version: int) -> None:
    path = built(tmp_path / "cabin.db", version)
    assert check(path).sound
    with open_log(path) as log:
        assert answers(log) == answered_then(version)
    assert check(path).sound, "each event has its digest now"
    kept = tmp_path / f"cabin format {version}.db"
    if version < schema.SCHEMA_VERSION:
        assert tables(kept) == tables(built(tmp_path / "again.db", version)), "as it was, beside"
    else:
        assert not kept.exists()


def tables(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as db:
        return [*db.iterdump(), str(db.execute("PRAGMA user_version").fetchone())]


@pytest.mark.parametrize("version", FORMATS)
def test_a_migrated_file_is_word_for_word_of_this_format(tmp_path: Path, version: int) -> None:
    with open_log(built(tmp_path / "cabin.db", version)) as log:
        have = set(log.connection.execute("SELECT type, name, tbl_name, sql FROM sqlite_schema"))
    assert schema.shape(schema.SCHEMA_VERSION) <= have


@pytest.mark.parametrize("version", FORMATS)
def test_it_merges_into_a_log_of_today(tmp_path: Path, version: int) -> None:
    path = built(tmp_path / "old.db", version)
    with open_log(tmp_path / "new.db", device="today") as log:
        log.add([said(0, indoor_c=15.0)])
        assert merge(log, path) == len(answered_then(version)["events"])
        assert merge(log, path) == 0
    assert check(tmp_path / "new.db").sound


EVENING = ("--json", "--as-of", "2024-11-05T20:00")
ASKED = (("tonight", *EVENING), ("due", *EVENING), ("wood", *EVENING), ("stays", *EVENING))


def told(path: Path, capsys: pytest.CaptureFixture[str]) -> list[Any]:
    found = []
    for words in ASKED:
        capsys.readouterr()
        assert main(["--log", str(path), *words]) == 0
        found.append(json.loads(capsys.readouterr().out))
    return found


def test_the_evening_is_answered_alike_whatever_format_the_log_was_kept_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same events give the same advice to the last digit; format 1 had no room for one of them, so its
    answers are held against a log of today that it was merged into."""
    for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name))
    learn_quickly(monkeypatch)
    newest = told(built(tmp_path / "newest.db", FORMATS[-1]), capsys)
    assert newest[0]["choices"], "an evening is advised on"
    for version in FORMATS[:-1]:
        path = built(tmp_path / f"cabin{version}.db", version)
        answers = told(path, capsys)
        if answered_then(version)["events"] == answered_then(FORMATS[-1])["events"]:
            assert answers == newest
            continue
        fresh = tmp_path / f"fresh{version}.db"
        with open_log(fresh, device="today") as log:
            merge(log, path)
        assert told(fresh, capsys) == answers


def newer(tmp_path: Path) -> Path:
    path = tmp_path / "newer.db"
    with open_log(path) as log:
        log.add([said(0, indoor_c=15.0, note="=cmd()")])
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = DELETE")
        db.execute("ALTER TABLE entry ADD COLUMN humidex REAL")
        db.execute("CREATE TABLE bees (id INTEGER PRIMARY KEY, seen TEXT) STRICT")
        db.execute("INSERT INTO bees VALUES (1, 'at the eaves')")
        db.execute("PRAGMA user_version = 99")
    return path


@pytest.mark.parametrize("words", [("events",), ("note", "18"), ("check",), ("tonight",), ("undo",)])
def test_a_newer_log_is_refused_kindly_and_not_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    path = newer(tmp_path)
    before = path.read_bytes()
    assert main(["--log", str(path), *words]) == 3
    said_so = capsys.readouterr().err
    assert "newer version (format 99" in said_so
    assert "export DIR" in said_so
    assert path.read_bytes() == before


def test_a_newer_log_is_neither_merged_nor_restored(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, mine = newer(tmp_path), tmp_path / "mine.db"
    with open_log(mine) as log:
        log.add([said(0, indoor_c=1.0)])
    for word in ("merge", "restore"):
        assert main(["--log", str(mine), word, str(path)]) == 3
        assert "newer version" in capsys.readouterr().err
    with open_log(mine) as log:
        assert len(log.events()) == 1


def test_a_newer_log_can_still_be_exported_as_plain_tables(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = newer(tmp_path)
    before = path.read_bytes()
    assert main(["--log", str(path), "export", str(tmp_path / "out")]) == 0
    assert "newer version" in capsys.readouterr().out
    out = {file.name: file.read_text(encoding="utf-8") for file in (tmp_path / "out").iterdir()}
    assert out["bees.csv"] == "id,seen\n1,at the eaves\n"
    assert "humidex" in out["entry.csv"].splitlines()[0]
    assert "'=cmd()" in out["readings.csv"], "no spreadsheet takes it for a formula"
    assert path.read_bytes() == before
