"""One thread for slow work, newest wish first to survive: the screen never waits.

A daemon thread of our own rather than a pool: a pool is waited for when the program ends, and
quitting must not wait for a fit.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from logbook.errors import LogbookError
from logbook.ui.memory import give_back, give_back_early

if TYPE_CHECKING:
    from logbook.results.app import Track

Progress = Callable[["str | Track"], None]
"""Told in a few words what a job is at, or given as much of its answer as there is."""
Job = Callable[[Progress], object]
Done = Callable[[str, object], None]
Failed = Callable[[str, str], None]


FIRST, LAST = "try", "nights"
"""The plan being typed goes first: its chart must follow the keys. The track record goes last, and stands
aside for anything else."""


class _PutAside(Exception):  # noqa: N818 - it is no error: the job is taken up again
    """Raised into a long job, where it reports progress, to make it stop."""


class SlowWork:
    """Runs named jobs one after the other; a job that still waits is replaced by a newer of its name.

    ``done``, ``failed`` and ``progress`` are called in the worker's thread, and so is ``wanted``, which
    tells whether anybody still looks for the long job: it stops where it reports progress when nobody does.
    """

    def __init__(
        self,
        *,
        done: Done,
        failed: Failed,
        progress: Callable[[str, str | Track], None],
        wanted: Callable[[str], bool] = lambda name: True,
    ) -> None:
        self._done, self._failed, self._progress, self._wanted = done, failed, progress, wanted
        self._waiting: dict[str, Job] = {}
        self._wake = threading.Condition()
        self._thread: threading.Thread | None = None
        self._ending = False

    def add(self, name: str, job: Job) -> None:
        """Queue a job; the thread starts with the first one."""
        with self._wake:
            self._waiting.pop(name, None)
            self._waiting[name] = job
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="slow work", daemon=True)
                self._thread.start()
            self._wake.notify()

    def end(self) -> None:
        """Take no more jobs; what runs is let go."""
        with self._wake:
            self._ending = True
            self._waiting.clear()
            self._wake.notify()

    def _next(self) -> tuple[str, Job] | None:
        with self._wake:
            while not self._waiting and not self._ending:
                self._wake.wait()
            if self._ending:
                return None
            name = min(self._waiting, key=lambda name: (name != FIRST, name == LAST))
            return name, self._waiting.pop(name)

    def _run(self) -> None:
        give_back_early()
        while (task := self._next()) is not None:
            name, job = task
            try:
                result = job(lambda said, name=name: self._tell(name, said))  # type: ignore[misc]
            except _PutAside:
                self._take_up_later(name, job)
            except LogbookError as error:
                if not self._ending:
                    self._failed(name, str(error))
            except Exception as error:  # noqa: BLE001 - the app must go on taking lines whatever the fit does
                if not self._ending:
                    self._failed(
                        name, f"This answer failed ({type(error).__name__}: {error}). Lines are kept."
                    )
            else:
                if not self._ending:
                    self._done(name, result)
            give_back()

    def _tell(self, name: str, said: str | Track) -> None:
        if name == LAST and (self._ending or self._waiting or not self._wanted(name)):
            raise _PutAside
        if not self._ending:
            self._progress(name, said)

    def _take_up_later(self, name: str, job: Job) -> None:
        if not self._wanted(name):
            return
        with self._wake:
            if not self._ending:
                self._waiting.setdefault(name, job)
