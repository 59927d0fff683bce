"""What the tests of breaking logs share: one small world of logs, made once."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from broken_worlds import deeds, forked, kills, shim


@pytest.fixture(scope="session")
def broken_ground() -> Iterator[Path]:
    """A folder in memory where there is one: a thousand syncs on a slow disk prove no more."""
    with tempfile.TemporaryDirectory(dir=kills.quick_folder(), prefix="broken") as folder:
        yield Path(folder)


@pytest.fixture(scope="session")
def world(broken_ground: Path) -> deeds.World:
    """Logs, copies and tables to begin every deed from; everything loaded that forked children need."""
    forked.load_everything()
    return deeds.make_world(broken_ground / "world")


@pytest.fixture
def broken_place(broken_ground: Path) -> Iterator[Path]:
    """A folder for one test."""
    folder = broken_ground / "place"
    folder.mkdir()
    yield folder
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session")
def layer(broken_ground: Path) -> Path:
    """The layer below SQLite, compiled once."""
    return shim.compiled(broken_ground)
