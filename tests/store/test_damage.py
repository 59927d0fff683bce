"""Damage is found wherever it matters, and what is whole is saved; small versions of the long runs beside."""

from __future__ import annotations

import csv
import json
import random
import sqlite3
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from itertools import islice
from pathlib import Path

import pytest
from log_lines import START, rooms, said

from logbook.cli import main
from logbook.errors import LogFileError
from logbook.store import schema
from logbook.store.copies import restore
from logbook.store.digest import fill, held_events
from logbook.store.log import Log, open_log
from logbook.store.merging import kinship, merge
from logbook.store.pages import Found
from logbook.store.pieces import Pieces
from logbook.store.salvage import salvage
from logbook.store.soundness import check

sys.path.insert(0, str(Path(__file__).parents[2] / "scripts"))
from benching.options import Options
from benching.reliability import all_kinds, flips, salvages

FLIPS = 150
"""The long run changes every byte: ``scripts/bench.py reliability:flips``."""


@pytest.fixture(scope="module")
def sound_log(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("sound") / "cabin.db"
    all_kinds.write(path, acts=20, seed=5, page_size=512)
    return path.read_bytes()


@pytest.fixture
def cabin(tmp_path: Path, sound_log: bytes) -> Path:
    path = tmp_path / "cabin.db"
    path.write_bytes(sound_log)
    return path


def told_by(path: Path) -> object:
    with open_log(path) as log:
        return all_kinds.answers(log)


def changed_in(path: Path, sql: str) -> Path:
    """As damage would: past every rule of the tables."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA ignore_check_constraints = ON")
        db.execute(sql)
    return path


def test_a_changed_byte_is_found_or_harmless(cabin: Path, sound_log: bytes) -> None:
    places = random.Random(11).sample(range(len(sound_log)), FLIPS)
    came = Counter(outcome for _, _, outcome in flips.changed(cabin, places, random.Random(11)))
    assert not set(came) & set(flips.BAD), came
    assert came[flips.FOUND] > FLIPS / 3
    assert came[flips.HARMLESS] > 0, "idle bytes are not called damage"


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE entry SET indoor_c = indoor_c + 0.1 WHERE event = (SELECT min(event) FROM entry)",
        "UPDATE event SET line = line || ' ' WHERE act = 'describe'",
        "UPDATE typed SET text = '9' WHERE position = 1",
        "UPDATE description SET toml = replace(toml, 'birch', 'bitch')",
        "UPDATE setting SET value = 'open' WHERE name = 'air_lever_reads'",
        "UPDATE device SET uuid = 'another' WHERE id = 1",
        "UPDATE event SET digest = zeroblob(16) WHERE id = 3",
        "UPDATE info SET value = value || '5' WHERE name = 'kept:draft'",
        "UPDATE info SET name = 'kept:graft' WHERE name = 'kept:draft'",
        "UPDATE _sqlite_migrations SET name = 'natters' WHERE name = 'matters'",
        "UPDATE about SET says = 'in °F' WHERE \"column\" = 'indoor_c'",
        "DROP INDEX entry_at",
        "DROP VIEW readings",
        "PRAGMA user_version = 2",
    ],
)
def test_check_finds_what_sqlite_cannot_see(cabin: Path, sql: str) -> None:
    assert check(cabin).sound
    changed_in(cabin, sql)
    with closing(sqlite3.connect(cabin)) as db:
        assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert not check(cabin).sound


def test_check_names_the_event_that_is_not_as_it_was_written(opened: Callable[..., Log]) -> None:
    log = opened()
    (event,) = log.add([said(0, indoor_c=15.0)])
    log.connection.execute("UPDATE entry SET indoor_c = 51.0")
    (problem,) = check(log.path).problems
    assert event.uuid in problem
    assert "'as typed'" in problem
    assert "not as it was written" in problem


def test_who_began_the_log_is_held_to_its_digest(opened: Callable[..., Log]) -> None:
    # Undo goes by it on a machine that keeps no name of its own.
    log = opened()
    assert check(log.path).sound
    changed_in(log.path, "UPDATE info SET value = 'another' WHERE name = 'device'")
    assert "'device'" in check(log.path).problems[0]


def test_bytes_that_are_no_text_are_damage_not_a_traceback(cabin: Path) -> None:
    # A flipped high bit in a word came up as "Could not decode to UTF-8" (found by the long run).
    changed_in(cabin, "UPDATE event SET zone = CAST(x'5543FF' AS TEXT) WHERE id = 4")
    assert not check(cabin).sound
    with pytest.raises(LogFileError, match="damaged"), open_log(cabin) as log:
        log.events()


def test_text_that_became_bytes_is_damage_not_a_traceback(cabin: Path, sound_log: bytes) -> None:
    # One bit of a serial type makes a blob of a text; the digest could not be worked out (long run).
    for place in range(len(sound_log)):
        if sound_log[place : place + 4] == b"UTC2":
            break
    changed = bytearray(sound_log)
    head = sound_log.rindex(bytes([19]), 0, place)  # 3 letters: serial type 13 + 2 * 3
    changed[head] ^= 1
    cabin.write_bytes(changed)
    assert not check(cabin).sound


def test_a_column_whose_name_is_no_text_is_damage_not_a_traceback(tmp_path: Path) -> None:
    # A flipped high bit in the schema's own text (found by the long run).
    path = tmp_path / "cabin.db"
    all_kinds.write(path, acts=3, seed=5)
    whole = path.read_bytes()
    assert b"rh_pct REAL" in whole
    path.write_bytes(whole.replace(b"rh_pct REAL", b"\xf2h_pct REAL"))
    assert not check(path).sound


def test_an_owners_own_table_in_the_file_is_no_damage(cabin: Path) -> None:
    changed_in(cabin, "CREATE TABLE mine (a)")
    assert check(cabin).sound


def test_an_unsound_file_is_neither_restored_nor_merged(
    opened: Callable[..., Log], cabin: Path, tmp_path: Path
) -> None:
    changed_in(cabin, "UPDATE entry SET indoor_c = 1.0")
    log = opened("other.db")
    for act in (
        lambda: kinship(log, cabin),
        lambda: merge(log, cabin),
        lambda: restore(tmp_path / "other.db", cabin, now=START),
    ):
        with pytest.raises(LogFileError, match="not sound"):
            act()
    assert log.events() == ()


def test_a_sound_log_is_salvaged_whole(cabin: Path, tmp_path: Path) -> None:
    before = told_by(cabin)
    found = salvage(cabin, tmp_path / "new.db")
    assert (found.left_out, found.gone, found.mended, found.beside, found.proved) == ((), 0, 0, None, True)
    assert told_by(tmp_path / "new.db") == before
    assert check(tmp_path / "new.db").sound


def test_a_half_typed_line_that_is_not_as_it_was_is_let_go_and_all_else_is_saved(
    cabin: Path, tmp_path: Path
) -> None:
    """Taken over, it made the new log unsound, and nothing was saved at all."""
    changed_in(cabin, "UPDATE info SET value = value || '5' WHERE name = 'kept:draft'")
    assert salvage(cabin, tmp_path / "new.db").left_out == ()
    with closing(sqlite3.connect(tmp_path / "new.db")) as db:
        assert db.execute("SELECT name FROM info").fetchall() == [("kept:look",)]


def test_what_a_salvage_cut_short_left_neither_spoils_the_next_nor_stays(cabin: Path, tmp_path: Path) -> None:
    before = told_by(cabin)
    for ending in ("", "-wal", "-shm"):
        (tmp_path / f"new.db.part{ending}").write_bytes(random.Random(1).randbytes(5000))
    salvage(cabin, tmp_path / "new.db")
    assert [path.name for path in tmp_path.glob("new*")] == ["new.db"]
    assert told_by(tmp_path / "new.db") == before


@pytest.mark.parametrize("harm", ["head", "schema", "index", "roots"])
def test_nothing_is_lost_where_only_the_way_to_it_is(
    cabin: Path, tmp_path: Path, sound_log: bytes, harm: str
) -> None:
    before = told_by(cabin)
    changed = bytearray(sound_log)
    if harm in ("head", "schema"):
        changed[: 100 if harm == "head" else 512] = bytes(100 if harm == "head" else 512)
    for at in range(512, len(changed), 512):
        if changed[at] == {"index": 2, "roots": 5}.get(harm):
            changed[at : at + 512] = bytes(512)
    if harm == "index":
        changed = bytearray(_without_interior_rows(sound_log, changed))
    cabin.write_bytes(changed)
    salvage(cabin, tmp_path / "new.db")
    assert told_by(tmp_path / "new.db") == before
    assert cabin.read_bytes() == changed, "the damaged file is not touched"


def _without_interior_rows(whole: bytes, harmed: bytearray) -> bytes:
    """Interior pages of an index repeat nothing: rows of the tables without rowids stand in them too."""
    del harmed
    changed = bytearray(whole)
    for at in range(512, len(changed), 512):
        if (
            changed[at] == 10
            and b"-4000-8000-" in changed[at : at + 512]
            and b"\xc2\xb0C" not in changed[at : at + 512]
        ):
            changed[at : at + 8] = bytes(8)
    return bytes(changed)


def test_what_is_not_whole_is_left_out_and_written_beside(opened: Callable[..., Log], tmp_path: Path) -> None:
    log = opened()
    first, second = log.add([said(0, indoor_c=15.0), said(1, note="=HYPERLINK(1)")])
    log.add([said(2, indoor_c=17.0)])
    log.close()
    changed_in(
        log.path,
        f"UPDATE entry SET indoor_c = 51.0 WHERE event = (SELECT id FROM event WHERE uuid = '{first.uuid}')",
    )
    found = salvage(log.path, tmp_path / "new.db")
    assert found.saved == 2
    (left,) = found.left_out
    assert first.uuid in left
    assert found.beside == tmp_path / "new left out.csv"
    with found.beside.open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file)
    assert (head, [row[:2] for row in rows]) == (["what", "event", "said"], [["event", "1"], ["entry", "1"]])
    event, entry = (json.loads(row[2]) for row in rows)
    assert (event["uuid"], event["act"], event["line"]) == (first.uuid, "record", "as typed")
    assert len(bytes.fromhex(event["digest"])) == 16
    assert (entry["at"], entry["indoor_c"]) == ("2026-01-16T20:00:00.000000Z", 51.0)
    with open_log(tmp_path / "new.db") as new:
        assert new.events()[0].uuid == second.uuid
        assert rooms(new) == [None, 17.0]


def test_every_piece_left_out_is_told_by_the_names_of_its_columns(cabin: Path, tmp_path: Path) -> None:
    changed_in(cabin, "UPDATE event SET line = line || 'x' WHERE id > 1")
    found = salvage(cabin, tmp_path / "new.db")
    assert found.beside is not None
    named: dict[str, set[str]] = {}
    with found.beside.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            named.setdefault(row["what"], set()).update(json.loads(row["said"]))
    assert named["typed"] == {"position", "name", "text", "unit"}
    assert {"toml"} <= named["description"] <= {"valid_from", "toml"}
    assert named["setting"] == {"name", "value"}


def test_an_event_of_which_nothing_is_left_is_counted_be_it_the_first(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    log = opened()
    log.add([said(hour, indoor_c=15.0) for hour in range(4)])
    log.close()
    changed_in(log.path, "DELETE FROM entry WHERE event IN (1, 3)")
    changed_in(log.path, "DELETE FROM event WHERE id IN (1, 3)")
    changed_in(log.path, "VACUUM")
    found = salvage(log.path, tmp_path / "new.db")
    assert (found.saved, found.gone) == (2, 2)


def test_an_act_whose_name_is_lost_is_kept_but_said_not_to_be_proved(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    # 50,000 rows of one import hang on one name: a zeroed page took them all (found by the long run).
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    log.add([said(hour, indoor_c=16.0) for hour in range(1, 9)])
    log.close()
    changed_in(log.path, "DELETE FROM batch WHERE id = 2")
    changed_in(log.path, "VACUUM")
    found = salvage(log.path, tmp_path / "new.db")
    assert (found.saved, found.nameless, found.left_out) == (9, 8, ())
    with open_log(tmp_path / "new.db") as new:
        assert len({event.batch for event in new.events()}) == 2
        assert rooms(new) == [15.0] + [16.0] * 8
        assert len(new.undo()) == 8, "they are still one act"


def test_a_half_overwritten_name_of_an_act_does_not_hide_the_right_one(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    log.close()
    whole = log.path.read_bytes()
    with closing(sqlite3.connect(log.path)) as db:
        ((name,),) = db.execute("SELECT uuid FROM batch").fetchall()
    # Where the table has it, a NULL for its key before the text: not where its index has it.
    row = bytes((0, 13 + 2 * len(name))) + name.encode()
    assert whole.count(row) == 1
    log.path.write_bytes(whole.replace(row, row[:6] + bytes(len(row) - 6)))
    found = salvage(log.path, tmp_path / "new.db")
    assert (found.saved, found.nameless, found.left_out) == (1, 0, ())


def test_the_name_of_an_act_is_known_from_its_undo(opened: Callable[..., Log], tmp_path: Path) -> None:
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    log.add([said(1, indoor_c=16.0)])
    log.undo()
    log.close()
    changed_in(log.path, "DELETE FROM batch WHERE id = 2")
    changed_in(log.path, "VACUUM")
    found = salvage(log.path, tmp_path / "new.db")
    assert (found.saved, found.nameless, found.left_out) == (3, 0, ())
    with open_log(tmp_path / "new.db") as new:
        assert rooms(new) == [15.0]
        new.redo()
        assert rooms(new) == [15.0, 16.0]


@pytest.mark.parametrize(
    ("also", "known"),
    [("", True), ("WHERE name = 'device'", True), ("WHERE name = 'kept:device'", True), ("WHERE 1", False)],
)
def test_a_lost_name_of_the_machine_loses_no_event(
    opened: Callable[..., Log], tmp_path: Path, also: str, known: bool
) -> None:
    # It is one row: a single bad sector takes it. The log keeps it in two other places.
    log = opened()
    log.add([said(hour, indoor_c=15.0 + hour) for hour in range(3)])
    (last,) = log.add([said(5, indoor_c=20.0)])
    log.remove(last.uuid)
    log.undo()
    log.close()
    changed_in(log.path, "DELETE FROM device")
    if also:
        changed_in(log.path, f"DELETE FROM info {also}")
    changed_in(log.path, "VACUUM")
    found = salvage(log.path, tmp_path / "new.db")
    assert (found.saved, found.nameless, found.left_out) == (6, 0 if known else 6, ())
    with open_log(tmp_path / "new.db") as new:
        assert rooms(new) == [15.0, 16.0, 17.0, 20.0]
        assert len({event.device for event in new.events()}) == 1


def test_an_edit_of_a_lost_entry_stands_for_it(opened: Callable[..., Log], tmp_path: Path) -> None:
    log = opened()
    (first,) = log.add([said(0, indoor_c=15.0)])
    log.edit(first.uuid, said(0, indoor_c=16.0))
    log.edit(first.uuid, said(0, indoor_c=17.0))
    (gone,) = log.add([said(1, indoor_c=1.0)])
    log.remove(gone.uuid)
    log.close()
    for lost in (first, gone):
        changed_in(log.path, f"UPDATE event SET line = 'x' WHERE uuid = '{lost.uuid}'")
    found = salvage(log.path, tmp_path / "new.db")
    assert found.mended == 1
    with open_log(tmp_path / "new.db") as new:
        assert rooms(new) == [17.0]
    assert check(tmp_path / "new.db").sound


def test_an_edit_that_was_taken_back_does_not_stand_for_a_lost_entry(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    log = opened()
    (first,) = log.add([said(0, indoor_c=15.0)])
    log.edit(first.uuid, said(0, indoor_c=16.0))
    log.edit(first.uuid, said(0, indoor_c=17.0))
    log.undo()
    log.close()
    changed_in(log.path, f"UPDATE event SET line = 'x' WHERE uuid = '{first.uuid}'")
    assert salvage(log.path, tmp_path / "new.db").mended == 1
    with open_log(tmp_path / "new.db") as new:
        assert rooms(new) == [16.0]


def test_an_event_in_words_of_another_program_is_left_out_and_the_others_saved(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    """Its digest fits; a new log with it in would not be sound, and nothing would be saved."""
    log = opened()
    log.add([said(0, indoor_c=15.0)])
    (other,) = log.add([said(1, indoor_c=16.0)])
    log.close()
    changed_in(log.path, "UPDATE entry SET \"window\" = 'ajar' WHERE event = 2")
    with closing(sqlite3.connect(log.path)) as db, db:
        fill(db, where="e.id = 2")
    found = salvage(log.path, tmp_path / "new.db")
    assert found.saved == 1
    assert [other.uuid in left for left in found.left_out] == [True]


def test_what_only_looks_like_a_row_of_the_log_is_left_aside() -> None:
    """An index repeats times beside keys; names and descriptions are text; a table of names has them too."""
    pieces = Pieces()
    time = "2026-01-16T20:00:00.000000Z"
    pieces.take([Found(None, (time, 2)), Found(7, (None, 3, "kg")), Found(8, (None, time, 5))])
    assert not pieces.names
    assert not pieces.settings
    assert not pieces.descriptions
    pieces.take([Found(None, ("a-device", 2)), Found(3, (None, "an-act")), Found(7, (None, "mass", "kg"))])
    pieces.take([Found(8, (None, time, "[cabin]"))])
    assert dict(pieces.names) == {2: ["a-device"], 3: ["an-act"]}
    assert dict(pieces.settings) == {7: [("mass", "kg")]}
    assert dict(pieces.descriptions) == {8: [(time, "[cabin]")]}


@pytest.mark.parametrize("version", [1, 2])
def test_an_older_log_is_salvaged_too_but_not_proved(tmp_path: Path, version: int) -> None:
    path = tmp_path / "old.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        schema.migrate(db, migrations=schema.MIGRATIONS[:version])
        db.executescript(
            "INSERT INTO device VALUES (1, 'a-device'); INSERT INTO batch VALUES (1, 'a-batch');"
            "INSERT INTO event VALUES (1, 'an-event', 1, 1, 1, 'record', NULL, NULL, NULL, '', 'UTC',"
            " '2026-01-16T18:00:00.000000Z', 'typed', '15'), (2, 'another', 1, 2, 1, 'record',"
            " NULL, NULL, NULL, '', 'UTC', '2026-01-16T19:00:00.000000Z', 'typed', '16');"
            "INSERT INTO entry (event, at, place, indoor_c, kindling, fire_out, alarms_tested, flags)"
            " VALUES (1, '2026-01-16T18:00:00.000000Z', '', 15.0, 0, 0, 0, '');"
        )
    found = salvage(path, tmp_path / "new" / "folder" / "new.db")
    assert not found.proved
    assert (found.saved, len(found.left_out)) == (1, 1), "a record without its entry is none"
    with open_log(tmp_path / "new" / "folder" / "new.db") as new:
        assert rooms(new) == [15.0]
        assert new.events()[0].device == "a-device"
        assert new.events()[0].batch == "a-batch"


def test_random_damage_invents_nothing_and_saves_all_that_is_whole_and_has_what_it_acts_on() -> None:
    total: Counter[str] = Counter()
    for row in salvages.run(Options(data=None, quick=True, seed=8, cases=5)):
        for part in row.split("|")[4].split(","):
            number, _, what = part.strip().partition(" ")
            total[what] += int(number.replace(",", ""))
    assert total["of them saved"] >= 0.97 * total["events untouched"] > 0, total
    assert total["lost without need (must be 0)"] == total["invented (must be 0)"] == 0, total


def test_salvage_overwrites_nothing_and_says_what_is_no_log(cabin: Path, tmp_path: Path) -> None:
    (tmp_path / "there.db").write_text("mine")
    with pytest.raises(LogFileError, match="there already"):
        salvage(cabin, tmp_path / "there.db")
    (tmp_path / "noise.db").write_bytes(random.Random(1).randbytes(20_000))
    with pytest.raises(LogFileError, match="No whole event"):
        salvage(tmp_path / "noise.db", tmp_path / "new.db")
    with pytest.raises(LogFileError, match="could not be read"):
        salvage(tmp_path / "none.db", tmp_path / "new.db")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cabin.db", "noise.db", "there.db"]


def test_the_command_says_what_was_saved_and_what_was_not(
    cabin: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed_in(cabin, "UPDATE event SET line = 'x' WHERE id = 9")
    assert main(["--log", str(cabin), "check"]) == 3
    assert "nightload salvage" in capsys.readouterr().err
    assert main(["salvage", str(cabin), str(tmp_path / "new.db")]) == 0
    out, err = capsys.readouterr()
    assert "1 event is not" in out
    assert "left out: " in err


def test_a_description_that_is_no_text_is_damage_not_a_traceback(cabin: Path) -> None:
    """A page of another table in its tree: no words where words should be. Found by flipping every byte."""
    with closing(sqlite3.connect(cabin, isolation_level=None)) as db:
        db.execute("PRAGMA writable_schema = ON")
        db.execute("UPDATE sqlite_schema SET sql = replace(sql, 'STRICT', '') WHERE name = 'description'")
    changed_in(cabin, "UPDATE description SET toml = zeroblob(3)")
    with open_log(cabin) as log, pytest.raises(LogFileError, match="A description in the log"):
        log.descriptions()


def test_a_name_that_has_become_anothers_is_damage_not_a_traceback(tmp_path: Path) -> None:
    """One flipped bit in the words of a view: "ambiguous column name". Found by flipping every byte."""
    log = tmp_path / "dense.db"
    all_kinds.write(log, acts=flips.ACTS, seed=12, page_size=flips.PAGE_SIZE)
    harmed = bytearray(log.read_bytes())
    harmed[58558] ^= 4
    log.write_bytes(harmed)
    assert flips.came_of(log, None, read_on=True) == flips.FOUND


def test_events_out_of_order_end_the_look_instead_of_beginning_it_again(tmp_path: Path) -> None:
    """One flipped bit of an event's key in its page: check read the same stretch without end. Found by
    flipping every byte; an earlier run had stood there unseen, and its hours were taken for slowness."""
    log = tmp_path / "dense.db"
    all_kinds.write(log, acts=flips.ACTS, seed=12, page_size=flips.PAGE_SIZE)
    harmed = bytearray(log.read_bytes())
    harmed[5039] ^= 128
    log.write_bytes(harmed)
    with closing(sqlite3.connect(log)) as db:
        many = islice(held_events(db), 10_000)
        with pytest.raises(sqlite3.DatabaseError, match="out of order"):
            list(many)
    assert not check(log).sound


def test_a_damaged_log_leaves_no_lock_behind_for_the_next_to_wait_for(tmp_path: Path) -> None:
    """Damage found after the file was opened left it open: whoever opened it next in the same window waited
    two minutes for nobody. Found by flipping every byte: from the second page on each took so long."""
    log = tmp_path / "dense.db"
    all_kinds.write(log, acts=flips.ACTS, seed=1, page_size=flips.PAGE_SIZE)
    with closing(sqlite3.connect(log)) as db:
        (page,) = db.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'info'").fetchone()
    harmed = bytearray(log.read_bytes())
    harmed[(page - 1) * flips.PAGE_SIZE] ^= 124  # the kind of the page that says who began the log
    log.write_bytes(harmed)
    with pytest.raises(LogFileError, match="damaged") as told:
        open_log(log, create=False)
    with closing(sqlite3.connect(log, timeout=0.0)) as db:  # the error, with all it points to, is alive
        assert db.execute("PRAGMA journal_mode = DELETE").fetchone() == ("delete",)
    assert told.value is not None
