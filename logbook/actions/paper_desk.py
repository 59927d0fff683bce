"""The desk's part for paper: a weekend copied in from a sheet. ``desk.AppDesk`` builds on it. All quick."""

from __future__ import annotations

import json
from abc import abstractmethod
from datetime import datetime
from typing import TYPE_CHECKING

from logbook.actions import lines
from logbook.answers import Kept
from logbook.copying_answers import COPY_CELLS, Sheet, SheetRead
from logbook.store.log import Log

if TYPE_CHECKING:
    from logbook.actions.paper_copy import SheetReader

SHEET = "paper"
"""Under this a half-copied sheet is kept in the file."""


class PaperDesk:
    """Mixed into the desk."""

    _reader: SheetReader | None = None

    @abstractmethod
    def now(self) -> datetime:
        """The time it is, aware."""

    @abstractmethod
    def _log(self) -> Log:
        """The log, on the screen's thread."""

    def sheet_draft(self) -> Sheet:
        """The sheet being copied in when it was last put aside; an empty one when there is none."""
        kept = self._log().kept_here(SHEET)
        try:
            found = json.loads(kept) if kept else {}
            rows = tuple(_cells(row) for row in found.get("rows", ()))
            answers = tuple((str(line), str(kind), str(key)) for line, kind, key in found.get("answers", ()))
            return Sheet(date=str(found.get("date", "")), rows=rows, answers=answers)
        except (ValueError, AttributeError, TypeError):
            return Sheet()  # spoilt: nothing in it was in the log

    def keep_sheet_draft(self, sheet: Sheet) -> None:
        """Keep a half-copied sheet for next time (an empty one forgets it)."""
        said = {"date": sheet.date, "rows": sheet.rows, "answers": sheet.answers}
        empty = sheet.is_empty and not sheet.date
        self._log().keep_here(SHEET, "" if empty else json.dumps(said, ensure_ascii=False))

    def read_sheet(self, sheet: Sheet) -> SheetRead:
        """What a sheet says, row by row, without keeping it. Never raises for what is typed."""
        if self._reader is None:
            from logbook.actions.paper_copy import SheetReader  # noqa: PLC0415 - not for the first frame

            self._reader = SheetReader()
        return self._reader.read(sheet, now=self.now(), setting=lines.setting_now(self._log()))

    def keep_sheet(self, read: SheetRead) -> Kept:
        """Keep all rows of a sheet as one act.

        Raises:
            LogbookError: A row can't be read or asks something, or all of them are in the log.
        """
        from logbook.actions import paper_copy  # noqa: PLC0415 - not for the first frame

        return paper_copy.keep_sheet(self._log(), read, now=self.now())


def _cells(row: list[object]) -> tuple[str, ...]:
    cells = [str(cell) for cell in row][: len(COPY_CELLS)]
    return tuple(cells + [""] * (len(COPY_CELLS) - len(cells)))
