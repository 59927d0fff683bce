"""Files written whole or not at all, and where things lie when the usual folder can't be written."""

from __future__ import annotations

import os
from pathlib import Path
from uuid import UUID

import pytest

from logbook.store import place
from logbook.store.whole import write_whole


def test_a_text_takes_the_place_of_the_old_one_and_leaves_nothing_beside_it(tmp_path):
    path = tmp_path / "page.html"
    write_whole(path, "old")
    write_whole(path, "−9 °C")
    assert path.read_text(encoding="utf-8") == "−9 °C"
    assert [one.name for one in tmp_path.iterdir()] == ["page.html"]


def test_a_disk_that_fills_up_on_the_way_leaves_the_old_text(tmp_path, monkeypatch):
    path = tmp_path / "page.html"
    write_whole(path, "old")

    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(path, "new")
    assert path.read_text(encoding="utf-8") == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["page.html"]


@pytest.mark.skipif(not Path("/dev/null").exists(), reason="no device of this name on Windows")
def test_what_is_no_plain_file_is_written_to_as_it_is():
    write_whole(Path("/dev/null"), "gone")
    assert not Path("/dev/null").is_file()  # it was not replaced by a file


def test_a_link_stays_a_link(tmp_path):
    (tmp_path / "real.html").write_text("old", encoding="utf-8")
    (tmp_path / "link.html").symlink_to(tmp_path / "real.html")
    write_whole(tmp_path / "link.html", "new")
    assert (tmp_path / "link.html").is_symlink()
    assert (tmp_path / "real.html").read_text(encoding="utf-8") == "new"


def test_a_device_keeps_its_identifier(tmp_path):
    first = place.this_device(tmp_path / "here")
    assert first is not None
    assert str(UUID(first)) == first
    assert place.this_device(tmp_path / "here") == first
    assert place.this_device(tmp_path / "elsewhere") != first


@pytest.mark.parametrize("spoilt", [b"", b"not one", b"\xff\xfe"])
def test_a_spoilt_identifier_is_made_anew_and_kept(tmp_path, spoilt):
    (tmp_path / "device").write_bytes(spoilt)
    fresh = place.this_device(tmp_path)
    assert fresh is not None
    assert place.this_device(tmp_path) == fresh


def test_where_no_identifier_can_be_kept_there_is_none(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    assert place.this_device(tmp_path / "file") is None


def test_learned_figures_lie_beside_the_log_where_the_cache_cannot_be_written(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    monkeypatch.setattr(place, "user_cache_dir", lambda *_args, **_kwargs: str(tmp_path / "file" / "cache"))
    assert place.cache_folder(tmp_path / "my log.db") == tmp_path / "my log learned"
    monkeypatch.setattr(place, "user_cache_dir", lambda *_args, **_kwargs: str(tmp_path / "cache"))
    assert place.cache_folder(tmp_path / "my log.db") == tmp_path / "cache"
