"""Power cuts in miniature (bench.py reliability:power), and the disk that forgets what is unsynced."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from broken_worlds import deeds, disk_model, needs_layer, power, shim


def record(kind: str, *, fd: int = -1, at: int = 0, flags: int = 0, one: str | bytes = b"", two: str = ""):
    text = one if isinstance(one, bytes) else one.encode()
    return shim.Record(kind, fd, at, flags, text, two.encode())


def disk_after(*records):
    disk = disk_model.Disk()
    for one in records:
        disk.do(one)
    return disk


NEW = record("open", fd=3, flags=shim.CREATED, one="/d/a")
FOLDER = record("open", fd=4, one="/d")


def test_what_was_not_synced_may_be_gone():
    written = (NEW, record("write", fd=3, one=b"x" * 2000))
    assert disk_after(*written).all_kept() == {"/d/a": b"x" * 2000}
    assert disk_after(*written).nothing_kept() == {}
    named = (*written, FOLDER, record("sync", fd=4))
    assert disk_after(*named).nothing_kept() == {"/d/a": b""}, "the folder's sync makes no bytes safe"
    assert disk_after(*written, record("sync", fd=3)).nothing_kept() == {}, "nor the file's sync its name"
    assert disk_after(*named, record("sync", fd=3)).nothing_kept() == {"/d/a": b"x" * 2000}


def test_a_write_is_torn_at_sectors_and_a_name_changes_whole():
    disk = disk_after(NEW, FOLDER, record("sync", fd=4), record("write", fd=3, one=b"y" * 4096))
    kept = {disk.some_kept(random.Random(seed))["/d/a"] for seed in range(200)}
    assert {b"", b"y" * 4096} < kept
    assert all(content[i : i + 512] in (b"y" * 512, bytes(512)) for content in kept
               for i in range(0, len(content), 512))  # fmt: skip
    disk.do(record("rename", one="/d/a", two="/d/b"))
    assert {tuple(disk.some_kept(random.Random(seed))) for seed in range(50)} == {("/d/a",), ("/d/b",)}


@needs_layer
@pytest.mark.parametrize("name", ["entry", "first entry", "backup", "restore, ruined"])
def test_what_was_acknowledged_survives_a_power_cut(world, layer, broken_place: Path, name: str):
    """Before: half a backup had its name; a log killed in its first moment was no log any more; while a
    ruined log was replaced it lay for a moment without what SQLite keeps beside it."""
    watched = power.watch(deeds.BY_NAME[name], world, broken_place, layer)
    states, moments, wrong = power.cut(watched, count=50, seed=3)
    assert wrong == []
    assert states > moments > 5


@needs_layer
def test_a_program_that_does_not_sync_is_found_out(world, layer, broken_place: Path):
    """The test of the test: the same deed, its syncs left out of what the disk is told."""
    watched = power.watch(deeds.BY_NAME["entry"], world, broken_place, layer)
    careless = tuple(r for r in watched.records if r.kind != "sync")
    watched = power.Watched(watched.deed, watched.start, careless, watched.before, watched.after)
    assert power.cut(watched, count=60, seed=3)[2]
