"""The desk's part for paper: a weekend copied in from a sheet, sheets and reports written out for print.

``desk.AppDesk`` builds on it. All quick but the reports; a sheet takes as long as reading the whole log.
"""

from __future__ import annotations

import json
from abc import abstractmethod
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from logbook.actions.opening import Place
from logbook.actions.setting_now import setting_now
from logbook.errors import LogFileError
from logbook.results.first_frame import Kept
from logbook.store.log import Log
from logbook.store.whole import write_whole

if TYPE_CHECKING:
    from logbook.actions.paper_copy import SheetReader
    from logbook.paper.document import Page
    from logbook.results.copying import Sheet, SheetRead
    from logbook.setting import Setting

SHEET = "paper"
"""Under this a half-copied sheet is kept in the file."""


class PaperDesk:
    """Mixed into the desk."""

    place: Place
    at: datetime | None
    _reader: SheetReader | None = None

    @abstractmethod
    def now(self) -> datetime:
        """The time it is, aware."""

    @abstractmethod
    def _log(self) -> Log:
        """The log, on the screen's thread."""

    @abstractmethod
    def _own_log(self) -> Log:
        """A connection of its own, for a worker thread."""

    def sheet_draft(self) -> Sheet:
        """The sheet being copied in when it was last put aside; an empty one when there is none."""
        from logbook.results.copying import Sheet  # noqa: PLC0415 - not for the first frame

        kept = self._log().kept_here(SHEET)
        try:
            found = json.loads(kept) if kept else {}
            rows = tuple(_cells(row) for row in found.get("rows", ()))
            answers = tuple((str(line), str(kind), str(key)) for line, kind, key in found.get("answers", ()))
            return Sheet(date=str(found.get("date", "")), rows=rows, answers=answers)
        except (ValueError, AttributeError, TypeError, RecursionError):
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
        return self._reader.read(sheet, now=self.now(), setting=setting_now(self._log()))

    def keep_sheet(self, read: SheetRead) -> Kept:
        """Keep all rows of a sheet as one act.

        Raises:
            LogbookError: A row can't be read or asks something, or all of them are in the log.
        """
        from logbook.actions import paper_copy  # noqa: PLC0415 - not for the first frame

        return paper_copy.keep_sheet(self._log(), read, now=self.now())

    def print_sheet(self, name: str) -> Kept:
        """Write a sheet ("guest", "weekend", "leaving", "upkeep") as an HTML file beside the log; say where.

        A file of that name, of an earlier time, is written over: it is made from the log.

        Raises:
            LogbookError: It needs a description, or the file can't be written.
        """
        from logbook.actions.sheets import sheet  # noqa: PLC0415 - not for the first frame

        log = self._log()
        page = sheet(log, name, as_of=self.now())
        command = f"nightload sheet {name} --html FILE"
        return self._written(page, f"{name} sheet", setting=setting_now(log), elsewhere=command)

    def print_report(self, name: str, progress: Callable[[str], None]) -> Kept:
        """Slow: write the report of the last "stay" or "season" as an HTML file beside the log; say where.

        Nothing is forecast for it. A file of that name, of an earlier time, is written over.

        Raises:
            LogbookError: There is no stay or season to report, or the file can't be written.
        """
        from logbook.actions import report, report_page  # noqa: PLC0415 - when one is asked for

        progress("writing the report")
        with self._own_log() as log:
            seen = report.reported(log, as_of=self.now(), cache=self.place.cache, reckon=False)
        setting = seen.house.setting
        if name == "stay":
            page = report_page.stay_page(report.report_stay(seen), setting=setting)
        else:
            page = report_page.season_page(report.report_season(seen), setting=setting)
        command = f"nightload report --{name} last --html FILE"
        return self._written(page, f"{name} report", setting=setting, elsewhere=command)

    def _written(self, page: Page, name: str, *, setting: Setting, elsewhere: str) -> Kept:
        """A page as an HTML file beside the log, and where; ``elsewhere``: the command for another."""
        from logbook.paper.document import Size  # noqa: PLC0415 - not for the first frame
        from logbook.paper.html import pages_html  # noqa: PLC0415 - with it

        size = Size.LETTER if setting.units.temperature == "F" else Size.A4
        path = self.place.path.parent / f"{self.place.path.stem} {name}.html"
        try:
            write_whole(path, pages_html([page], size=size))
        except OSError as error:
            raise LogFileError(
                f"{path.name} can't be written beside the log: {error.strerror or error}.\n"
                f"Elsewhere: {elsewhere}"
            ) from error
        gone = " (the demo's: gone when you leave it)" if self.at is not None else ""
        return Kept(
            sentence=f"Written: {path}{gone}. Open and print it in a browser, on {size.value.upper()}."
        )


def _cells(row: list[object]) -> tuple[str, ...]:
    from logbook.results.copying import COPY_CELLS  # noqa: PLC0415 - not for the first frame

    cells = [str(cell) for cell in row][: len(COPY_CELLS)]
    return tuple(cells + [""] * (len(COPY_CELLS) - len(cells)))
