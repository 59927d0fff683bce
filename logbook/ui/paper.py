"""What paper asks of the session: its page of choices, sheets printed, and a weekend being copied in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logbook.errors import LogbookError
from logbook.results.app import Kept, Standing
from logbook.results.copying import Sheet, SheetRead, SheetRow
from logbook.ui.copying import DATE, NOTE, CopyForm, CopyView
from logbook.ui.keys import F_KEYS
from logbook.ui.known import REPORT, one_line
from logbook.ui.view import Answer

if TYPE_CHECKING:
    from logbook.ui.session import Session

COPY, AGAIN, PRINT = "copy", "again", "print"
SHEETS = {
    "guest": "Print the guest sheet: getting out, and this stove step by step.",
    "weekend": "Print a weekend sheet: empty rows for a pencil, to be copied in.",
    "leaving": "Print the list for leaving, as it stands now.",
    "upkeep": "Print the upkeep record: sweepings, alarms, works.",
}
"""Sheets by the desk's names for them."""
REPORTS = {
    "stay": "Print the report of the last stay: wood, nights, what was written.",
    "season": "Print the report of this season, or of the newest on record.",
}
"""Reports by the desk's names for them; slow, so they are written while keys go on."""
FORMS = ("copying", "emergency", "first")
"""Pages whose answer row is their own: where a report was written is said after them."""
WRITTEN = "sheet"
"""Margin word of the answer that says where one was written."""


class Paper:
    """One session's sheet; it acts on the session it was made for."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.form: CopyForm | None = None
        self._kept: Sheet | None = None
        """The sheet kept last: it can be opened again, as after it was taken back."""
        self._read = SheetRead(day="")
        self._asking = False
        self._drafted: Sheet | None = None
        self._told: Answer | None = None
        """What became of a report, while the answer row has something else to say."""

    # The page of choices

    def choices(self) -> tuple[tuple[str, str], ...]:
        """What can be done with paper: (name, a sentence)."""
        typed = self.form.sheet() if self.form is not None else self.session.desk.sheet_draft()
        count = len(typed.rows)
        on = f": {count} row{'s' if count > 1 else ''} typed, Enter goes on" if count else ""
        found = [(COPY, f"Copy a weekend in from a sheet{on}.")]
        if self._kept is not None:
            found.append((AGAIN, "Open the sheet kept last again, to mend it."))
        found.append((PRINT, "Print the emergency page."))
        return (*found, *SHEETS.items(), *((REPORT + name, said) for name, said in REPORTS.items()))

    def open(self, index: int) -> None:
        """Enter on a choice."""
        choices = self.choices()
        name = choices[min(max(0, index), len(choices) - 1)][0]
        if name == PRINT:
            self.session.own.print_page()
            return
        if name in SHEETS:
            self._print(name)
            return
        if name.startswith(REPORT):
            self._report(name)
            return
        if name == AGAIN and self._kept is not None:
            self.form = CopyForm.of(self._kept)
        elif self.form is None:
            self.form = CopyForm.of(self.session.desk.sheet_draft())
        self.session.page = "copying"
        self._look()

    def _print(self, name: str) -> None:
        """A sheet onto paper; where it was written, or why it can't be."""
        try:
            self.session.answer = Answer(WRITTEN, self.session.desk.print_sheet(name).sentence)
        except LogbookError as error:
            self.session.answer = Answer("stop", one_line(error))

    def _report(self, name: str) -> None:
        """A report onto paper, by the worker."""
        desk = self.session.desk
        self.session.known.want(name, lambda told: desk.print_report(name.removeprefix(REPORT), told))
        self.session.answer = Answer("later", "The report is being written. Where is said here once it is.")

    def written(self, result: object) -> None:
        """A report was written."""
        if isinstance(result, Kept):
            self._told = Answer(WRITTEN, result.sentence)
            self.say_told()

    def not_written(self, said: str) -> None:
        """A report could not be written; why, and what to do."""
        self._told = Answer("stop", one_line(said))
        self.say_told()

    def say_told(self) -> None:
        """What became of a report, once no line is being written."""
        session = self.session
        if self._told is not None and not session.line.is_open and session.page not in FORMS:
            session.answer, self._told = self._told, None

    # The sheet

    def press(self, key: str, character: str | None) -> None:
        """A key while a sheet is copied in."""
        session = self.session
        if key in ("ctrl+c", "ctrl+q"):
            self.keep_draft()
            session.quitting = True
        elif key in F_KEYS or character == "!":
            session.turn_to("emergency")
        elif self._asking:
            self._answer(key, character)
        elif key == "escape":
            self.put_aside()
        elif self.form is not None:
            self._did(self.form.press(key, character))

    def paste(self, text: str) -> None:
        """Text pasted into the cell."""
        if self.form is not None:
            self._did(self.form.paste(text))

    def go_to(self, place: str) -> None:
        """A click on a cell."""
        if self.form is not None and not self._asking:
            row, column = place.split(",")
            self.form.go(int(row), int(column))
            self._look()

    def put_aside(self) -> None:
        """Back to where it was opened from; what is typed is kept for later."""
        session = self.session
        self.keep_draft()
        session.page = "paper"
        sheet = self.form.sheet() if self.form is not None else Sheet()
        if sheet.is_empty:
            self.form, session.answer = None, None
        else:
            session.answer = Answer("later", "Put aside, every cell kept. p, Enter goes on with it.")

    def keep_draft(self) -> None:
        """Keep what is typed so far, if it changed: a power cut need not cost it."""
        sheet = self.form.sheet() if self.form is not None else None
        if sheet is None or sheet == self._drafted:
            return
        try:
            self.session.desk.keep_sheet_draft(sheet)
            self._drafted = sheet
        except LogbookError as error:
            self.session.answer = Answer("stop", one_line(error))

    def view(self) -> CopyView | None:
        """The sheet as it stands, on its page."""
        form = self.form
        if form is None or self.session.page != "copying":
            return None
        return CopyView(
            date=form.date,
            cells=tuple(tuple(row) for row in form.cells),
            read=self._read,
            row=form.row,
            column=form.column,
            caret=form.caret,
            asking=self._asking,
            offered=form.offered,
            at_the_end=form.at_the_end,
        )

    def _did(self, what: str) -> None:
        if what == "keep":
            self._keep()
        elif what:
            self._look(anew=what == "typed")

    def _look(self, *, anew: bool = True) -> None:
        """Read the sheet, and say what the row being written says."""
        form = self.form
        if form is None:
            return
        if anew:
            self._read = self.session.desk.read_sheet(form.sheet())
        form.usual_date = self._read.usual
        form.offered = ""
        if form.row != DATE and form.column == NOTE and form.text and form.caret == len(form.text):
            form.offered = self.session.desk.read(form.text).offered
        if form.row == DATE or (self._read.trouble and not form.at_the_end):
            self.session.answer = self._date_said(form)
            return
        row = self._row(form.row)
        self.session.answer = None
        if row is not None and row.standing is not None:
            day = f"{row.day}: " if row.day and row.standing is Standing.READS else ""
            self.session.answer = Answer(row.standing.value, f"{day}{row.sentence}")

    def _date_said(self, form: CopyForm) -> Answer:
        if self._read.trouble:
            return Answer("stop" if form.date.strip() else "asks", self._read.trouble)
        return Answer("reads", f"begins {self._read.day}")

    def _row(self, index: int) -> SheetRow | None:
        return self._read.rows[index] if 0 <= index < len(self._read.rows) else None

    def _keep(self) -> None:
        """Keep it all, or go to the first row that can't be kept and say why."""
        form = self.form
        assert form is not None, "only a form asks to be kept"
        stops = (n for n, row in enumerate(self._read.rows) if row.standing in (Standing.STOP, Standing.ASKS))
        wrong = next(stops, None)
        if self._read.day and wrong is not None:
            form.go(wrong, 0)
            self._look(anew=False)
            self._asking = bool(self._read.rows[wrong].answers)
            return
        try:
            kept = self.session.desk.keep_sheet(self._read)
        except LogbookError as error:
            if not self._read.day:
                form.go(DATE, 0)
            self.session.answer = Answer("stop", one_line(error))
            return
        self._kept, self.form, self._drafted = form.sheet(), None, None
        self.session.desk.keep_sheet_draft(Sheet())
        self.session.page = "now"
        self.session.said("saved", kept)

    def _answer(self, key: str, character: str | None) -> None:
        """A question of the row stands: its letter answers it, Esc goes back to the cells."""
        form = self.form
        row = self._row(form.row) if form is not None else None
        pressed = character.lower() if character and character.isalnum() else key
        if form is None or row is None or key == "escape":
            self._asking = False
        elif pressed in row.answers:
            self._asking = False
            form.answer(row.line, row.asked, pressed)
            self._look()
            self._keep()
