"""The cache may be lost or spoilt at any time; places follow the platform unless named."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from platformdirs import user_data_dir

from logbook.store import place
from logbook.store.cache import LearnedCache

KEY = "a name made from what a result depends on"


def test_what_was_put_comes_back(tmp_path: Path) -> None:
    cache = LearnedCache(tmp_path / "learned")
    assert cache.get(KEY) is None
    cache.put(KEY, b"\x00draws" * 1000)
    assert LearnedCache(tmp_path / "learned").get(KEY) == b"\x00draws" * 1000


@pytest.mark.parametrize("spoil", [b"", b"short", b"x" * 500])
def test_a_spoilt_result_counts_as_missing_and_can_be_put_again(tmp_path: Path, spoil: bytes) -> None:
    cache = LearnedCache(tmp_path)
    cache.put(KEY, b"draws" * 100)
    (file,) = tmp_path.iterdir()
    file.write_bytes(spoil)
    assert cache.get(KEY) is None
    cache.put(KEY, b"again")
    assert cache.get(KEY) == b"again"


def test_the_cache_stays_in_its_room_and_the_oldest_go_first(tmp_path: Path) -> None:
    cache = LearnedCache(tmp_path, most_bytes=3000)
    for number in range(6):
        cache.put(f"key{number}", bytes(900))
        os.utime(tmp_path / f"key{number}.learned", (number, number))  # a coarse clock must not decide
    assert sum(file.stat().st_size for file in tmp_path.iterdir()) <= 3000
    assert cache.get("key5") is not None
    assert cache.get("key0") is None


def test_one_result_larger_than_the_room_is_still_kept(tmp_path: Path) -> None:
    cache = LearnedCache(tmp_path, most_bytes=10)
    cache.put(KEY, bytes(900))
    assert cache.get(KEY) == bytes(900)


def test_without_a_place_to_write_nothing_happens(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    cache = LearnedCache(tmp_path / "file" / "learned")
    cache.put(KEY, b"draws")
    assert cache.get(KEY) is None
    cache.clear()


def test_clearing_forgets_everything(tmp_path: Path) -> None:
    cache = LearnedCache(tmp_path)
    cache.put(KEY, b"draws")
    cache.clear()
    assert list(tmp_path.iterdir()) == []


def test_the_log_named_wins_over_the_variable_and_that_over_the_platform(tmp_path: Path) -> None:
    named = str(tmp_path / "named.db")
    assert place.log_path(named, environment={"NIGHTLOAD_LOG": "other.db"}) == Path(named)
    assert place.log_path(None, environment={"NIGHTLOAD_LOG": "other.db"}) == Path("other.db")
    usual = place.log_path(None, environment={})
    assert usual == Path(user_data_dir("nightload", appauthor=False)) / "cabin.db"
    assert place.log_path("~/cabin.db", environment={}) == Path.home() / "cabin.db"


def test_this_device_keeps_its_name(tmp_path: Path) -> None:
    first = place.this_device(tmp_path / "data")
    assert first is not None
    assert place.this_device(tmp_path / "data") == first
    assert place.this_device(tmp_path / "elsewhere") != first
    (tmp_path / "data" / "device").write_text("spoilt")
    assert place.this_device(tmp_path / "data") not in (None, first)


def test_a_device_that_cannot_keep_its_name_has_none(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    assert place.this_device(tmp_path / "file" / "data") is None
