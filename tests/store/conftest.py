"""A fresh log for each test, with a clock and identifiers that tests can foresee."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from log_lines import START

from logbook.store.log import Log, open_log


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Callable[..., Log]]:
    """Opens logs and closes them at the end; identifiers differ between them."""
    logs: list[Log] = []

    def open_one(name: str = "cabin.db", *, device: str | None = None, **more: object) -> Log:
        number = count(1)
        prefix = len(logs) + 1
        log = open_log(
            tmp_path / name,
            now=lambda: START,
            new_uuid=lambda: f"{prefix:04d}{next(number):04d}-id",
            device=device,
            **more,  # type: ignore[arg-type]
        )
        logs.append(log)
        return log

    yield open_one
    for log in logs:
        log.close()


@pytest.fixture
def log(opened: Callable[..., Log]) -> Log:
    return opened()
