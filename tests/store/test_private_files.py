"""Nobody else on the machine can read the log or anything made of it, from its first moment on."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from log_lines import START, said

from logbook.demo import demo_description_text
from logbook.store import connection
from logbook.store.copies import back_up, restore
from logbook.store.log import open_log
from logbook.store.salvage import salvage

pytestmark = pytest.mark.skipif(os.name != "posix", reason="modes are of POSIX systems")


@pytest.fixture
def open_to_all() -> Iterator[None]:
    before = os.umask(0)
    yield
    os.umask(before)


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def for_others(folder: Path) -> list[str]:
    return [str(path) for path in folder.rglob("*") if mode(path) & 0o077]


@pytest.mark.usefixtures("open_to_all")
def test_a_log_is_private_before_sqlite_opens_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[int] = []
    really = sqlite3.connect

    def watched(path: Path, **more: object) -> sqlite3.Connection:
        if str(path) != ":memory:":
            seen.append(mode(Path(path)))
        return really(path, **more)  # type: ignore[call-overload,no-any-return]

    monkeypatch.setattr(connection.sqlite3, "connect", watched)
    with open_log(tmp_path / "new" / "cabin.db") as log:
        log.add([said(0, indoor_c=15.0)])
        assert {path.name for path in (tmp_path / "new").iterdir()} >= {"cabin.db", "cabin.db-wal"}
        assert for_others(tmp_path) == []
        back_up(log, tmp_path / "copies", now=START)
    assert for_others(tmp_path) == []
    assert set(seen) == {0o600}
    assert len(seen) >= 2, "the log and its copy"


@pytest.mark.usefixtures("open_to_all")
def test_a_log_shared_on_purpose_stays_shared_and_its_copies_are_private(tmp_path: Path) -> None:
    path = tmp_path / "cabin.db"
    open_log(path).close()
    path.chmod(0o660)
    with open_log(path) as log:
        log.add([said(0, indoor_c=15.0)])
        assert mode(path) == mode(path.with_name("cabin.db-wal")) == 0o660, "or the others could not write"
        copy = back_up(log, tmp_path / "copies", now=START)
    assert mode(copy) == 0o600
    path.write_bytes(b"ruined" * 1000)
    restore(path, copy, now=START)
    assert mode(path) == 0o660


@pytest.mark.usefixtures("open_to_all")
def test_what_was_salvaged_and_what_was_not_are_private_both(tmp_path: Path) -> None:
    path = tmp_path / "cabin.db"
    with open_log(path) as log:
        log.add([said(0, indoor_c=15.0), said(1, indoor_c=16.0)])
        log.connection.execute("UPDATE entry SET indoor_c = 51.0 WHERE event = 1")
    found = salvage(path, tmp_path / "saved" / "cabin.db")
    assert found.beside is not None
    assert found.beside.exists()
    assert for_others(tmp_path) == []


def test_every_command_leaves_only_private_files(tmp_path: Path) -> None:
    # Started under a umask that gives everybody everything.
    text = tmp_path / "cabin.toml"
    text.write_text(demo_description_text(), encoding="utf-8")
    text.chmod(0o600)
    log = tmp_path / "logs" / "cabin.db"
    environment = {
        **os.environ,
        **{f"XDG_{name}_HOME": str(tmp_path / name.lower()) for name in ("DATA", "CACHE", "STATE", "CONFIG")},
        "PYTHONDONTWRITEBYTECODE": "1",
        "NIGHTLOAD_LOG": str(log),
    }
    for words in (
        ("setup", str(text)),
        ("note", "-11/18 4kg 1/4"),
        ("backup",),
        ("export", str(tmp_path / "tables")),
        ("backup", str(tmp_path / "stick")),
    ):
        done = subprocess.run(
            [sys.executable, "-m", "logbook", *words],
            env=environment, umask=0, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
    assert log.exists()
    assert (tmp_path / "tables" / "notebook.csv").exists()
    assert for_others(tmp_path) == []
