"""Where the log is, how it is opened, and where what was learned from it is kept."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.errors import NoDescriptionError
from logbook.store.connection import explained
from logbook.store.log import Log, open_log
from logbook.store.place import cache_folder, copies_folder, log_path, this_device

if TYPE_CHECKING:
    from logbook.actions.reckoning import Cache

NO_LOG_YET = (
    "There is no log at {path} yet.\n"
    "Print an example with  nightload setup --example > cabin.toml , change it, then  "
    "nightload setup cabin.toml"
)


def clock() -> datetime:
    """The time it is, aware."""
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class Place:
    """Where one log lies. The file need not exist."""

    path: Path

    @property
    def copies(self) -> Path:
        """Where its dated copies go."""
        return copies_folder(self.path)

    @property
    def cache(self) -> Cache:
        """Where what is learned from it is kept."""
        from logbook.actions.reckoning import Cache  # noqa: PLC0415 - after the app's first frame
        from logbook.store.cache import LearnedCache  # noqa: PLC0415 - after the app's first frame

        return Cache(LearnedCache(cache_folder(self.path)))

    def open(self, *, create: bool = False, now: Callable[[], datetime] = clock) -> Log:
        """Open the log.

        Raises:
            NoDescriptionError: There is no log yet, so no description either.
            LogFileError: It can't be read or written.
        """
        with explained(self.path):  # a name too long, a folder nobody may look into
            if not create and not self.path.exists():
                raise NoDescriptionError(NO_LOG_YET.format(path=self.path))
        return open_log(self.path, create=create, now=now, device=this_device())


def place_of(named: str | None = None, *, environment: Mapping[str, str] = os.environ) -> Place:
    """The log asked for: named, by NIGHTLOAD_LOG, or where the platform keeps a person's data."""
    return Place(log_path(named, environment=environment))
