"""The desk's part for the file itself: whether another window writes it, and the copy on leaving.

The copy is made after "left" or the last line of the leaving list, by the worker. Who closes the app before
the worker came to it gets the copy then, once the screen is given back.
"""

from __future__ import annotations

from abc import abstractmethod
from datetime import datetime
from typing import TYPE_CHECKING

from logbook.actions.opening import Place
from logbook.errors import LogbookError
from logbook.store.connection import explained, is_free, times_changed
from logbook.store.reading import is_only_read, only_read_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from logbook.records import Entry
    from logbook.results.year import Listed
    from logbook.store.log import Log


class FileDesk:
    """Mixed into the desk."""

    place: Place
    at: datetime | None
    _copy_wanted: bool = False
    _seen: int | None = None

    @abstractmethod
    def machine_time(self) -> datetime:
        """What this computer's clock says."""

    @abstractmethod
    def _log(self) -> Log:
        """The log, on the screen's thread."""

    @abstractmethod
    def _own_log(self) -> Log:
        """The log, opened anew for another thread."""

    def is_free(self) -> bool:
        """Whether no other window is writing the log at this moment; does not wait."""
        return is_free(self._log().connection)

    def only_read(self) -> str:
        """That nothing can be saved, in a sentence; empty where the log can be written."""
        log = self._log()
        return only_read_text(log.path) if is_only_read(log.connection) else ""

    def is_stale(self) -> bool:
        """Whether another window wrote since this was last asked."""
        log = self._log()
        with explained(log.path):
            age = times_changed(log.connection)
        seen, self._seen = self._seen, age
        return seen not in (None, age)

    def _refuse_if_changed(self, event_id: str) -> None:
        """A line shown here and changed meanwhile elsewhere is not overwritten unseen.

        Raises:
            LogbookError: It is another line by now; BadInputError when it was left out.
        """
        if self._log().find(event_id).uuid != event_id:
            raise LogbookError(
                "Another window changed that line meanwhile.\n"
                "Esc, and open it again: the list has it as it is now."
            )

    def copy_by_itself(self) -> str:
        """Slow: a dated copy of the log if anything is new; where it is, or why there is none."""
        from logbook.actions.safe_copies import copy_now  # noqa: PLC0415 - on leaving only

        with self._own_log() as log:
            made = copy_now(log, self.place.copies, now=self.machine_time())
        self._copy_wanted = False
        return made.said

    def copy_still_wanted(self) -> str:
        """What leaving asked for and the worker did not come to; "" when nothing is left to do."""
        return self.copy_by_itself() if self._copy_wanted else ""

    def _left_by(self, entries: Iterable[Entry]) -> bool:
        """Whether these entries say that somebody left; then a copy is wanted. The demo's log needs none."""
        from logbook.records import Mark  # noqa: PLC0415 - loaded by now

        if self.at is None and any(entry.mark is Mark.LEFT for entry in entries):
            self._copy_wanted = True
        return self._copy_wanted

    def _left_by_list(self, listed: Listed) -> bool:
        """The same for a list ticked to its end."""
        if self.at is None and listed.leaves and not any(line.is_open for line in listed.lines):
            self._copy_wanted = True
        return self._copy_wanted
