"""One thread for slow work, newest wish first to survive: the screen never waits.

A daemon thread of our own rather than a pool: a pool is waited for when the program ends, and
quitting must not wait for a fit.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

from logbook.errors import LogbookError

Progress = Callable[[str], None]
Job = Callable[[Progress], object]
Done = Callable[[str, object], None]
Failed = Callable[[str, str], None]


class SlowWork:
    """Runs named jobs one after the other; a job that still waits is replaced by a newer of its name.

    ``done`` and ``failed`` are called in the worker's thread.
    """

    def __init__(self, *, done: Done, failed: Failed, progress: Callable[[str, str], None]) -> None:
        self._done, self._failed, self._progress = done, failed, progress
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
            # The plan being typed goes first: its chart must follow the keys.
            name = "try" if "try" in self._waiting else next(iter(self._waiting))
            return name, self._waiting.pop(name)

    def _run(self) -> None:
        while (task := self._next()) is not None:
            name, job = task
            try:
                result = job(lambda said, name=name: self._tell(name, said))  # type: ignore[misc]
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

    def _tell(self, name: str, said: str) -> None:
        if not self._ending:
            self._progress(name, said)
