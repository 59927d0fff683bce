"""Reading a table of readings and deeds: rows to entries, and what is wrong with the rest, by line.

Nothing is written here; ``importing`` decides what goes into the log. What happened is kept even if unwise;
only the impossible and the unreadable is refused, and a refused row takes no other with it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from logbook.entry.unlikely import unlikely
from logbook.errors import BadInputError, TableError
from logbook.matters import Matter
from logbook.records import MOST_MOISTURE_PCT, Basis, Entry, Flag, How, NewEvent, Typed
from logbook.setting import YEARS, Setting, local_instants
from logbook.store.columns import (
    BLANKS,
    BY_NAME,
    KNOWN,
    MOST_LOAD_KG,
    TEXTS,
    WORDS,
    YES_OR_NO,
    CellError,
    nearest_column,
    number_in,
    plain_name,
    unguarded,
    word_in,
    yes_in,
)
from logbook.store.loggers import with_loggers
from logbook.store.matters_text import matter_from
from logbook.store.table_text import RawRow, table_rows

MISDATED = timedelta(minutes=25)
"""A row stamped this long before the row above it is no slip: the clock was put back between them. ASSUMED:
slips in notebooks are 10 to 20 min."""

_SAY_NOTHING_ALONE = frozenset({"place", "reset_at", "moisture_basis", "flags"})

AGREE_K = 0.6
"""Two columns for one thing (°C and °F) may differ by this much, in their unit. ASSUMED: one rounding."""


@dataclass(frozen=True, slots=True)
class Remark:
    """Something to say about one line of the table."""

    line: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRead:
    """What a table says: its entries in the order of the file, each with its line, and what was refused.

    ``flagged`` rows were kept with something to know; ``remarks`` are about the table as a whole.
    """

    rows: int
    new: tuple[tuple[int, NewEvent], ...]
    refused: tuple[Remark, ...]
    flagged: tuple[Remark, ...]
    remarks: tuple[str, ...]


def read_table(data: bytes, *, setting: Setting, now: datetime) -> TableRead:
    """Read a table in our columns (header names, any order).

    Args:
        data: The file's bytes.
        setting: Zone of local times, weights of pieces, the stove's limit, moisture basis, newest record.
        now: A row later than this and than the newest record is refused.

    Raises:
        TableError: No rows, no text, or a header without ``at`` or without anything to read.
    """
    rows = Rows(data, setting=setting, now=now)
    new = with_loggers(list(rows))
    return TableRead(
        rows=rows.count,
        new=new,
        refused=tuple(rows.refused),
        flagged=tuple(rows.flagged),
        remarks=rows.remarks,
    )


class Rows:
    """The rows of a table one by one, each with its line; to be gone through once.

    What is wrong with them and what is to be said stands in the attributes as far as it was read.
    """

    def __init__(self, data: bytes, *, setting: Setting, now: datetime) -> None:
        self._rows = table_rows(data)
        self._columns = _columns(next(self._rows))
        self._reader = _RowReader(self._columns, setting=setting, now=now)
        self.flagged = self._reader.flagged
        self.refused: list[Remark] = []
        self.count = 0

    def __iter__(self) -> Iterator[tuple[int, NewEvent]]:
        for row in self._rows:
            if row.cells is not None and not any(row.cells):
                continue
            self.count += 1
            try:
                yield row.line, self._reader.read(row)
            except CellError as error:
                self.refused.append(Remark(row.line, str(error)))
        if not self.count:
            raise TableError("The table has a header and no rows.\nNothing was changed.")

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is to be said of the table as a whole."""
        return _about_unknown(self._columns, self._reader.unknown)


def _columns(header: RawRow) -> tuple[str, ...]:
    names = tuple(plain_name(cell) for cell in header.cells or ())
    if "at" not in names:
        raise TableError(
            f"The table has no column 'at' (line {header.line} is: {header.text[:120]}).\n"
            "Name the column with date and time 'at'; the other columns are: " + ", ".join(KNOWN[1:]) + "."
        )
    twice = [name for name, times in Counter(names).items() if times > 1 and name]
    if twice:
        raise TableError(f"The table has the column '{twice[0]}' twice.\nLeave one of them.")
    if not any(name in KNOWN and name not in ("at", "reset_at", "place") for name in names):
        raise TableError(
            f"None of the columns besides 'at' is known: {', '.join(names)}.\nKnown are: {', '.join(KNOWN)}."
        )
    return names


def _about_unknown(columns: Sequence[str], filled: Mapping[str, int]) -> tuple[str, ...]:
    said = []
    for name in columns:
        if name in KNOWN or not name or not filled.get(name):
            continue
        near = nearest_column(name)
        said.append(
            f"Column '{name}' is not known: its {filled[name]} values are kept beside the rows but not used."
            + (
                f" Did you mean '{near}'? Then take this import back (undo), rename it, and import again."
                if near
                else ""
            )
        )
    return tuple(said)


class _RowReader:
    """Reads rows one after the other; remembers the last time, for the hour that comes twice in autumn."""

    def __init__(self, columns: Sequence[str], *, setting: Setting, now: datetime) -> None:
        self._columns = columns
        self._setting = setting
        self._zone = ZoneInfo(setting.zone)
        self._latest = max(now, setting.newest_at or now)
        self._before: datetime | None = None
        self.flagged: list[Remark] = []
        self.unknown: Counter[str] = Counter()
        self._said: set[str] = set()

    def read(self, row: RawRow) -> NewEvent:
        """One row as an entry about to be written."""
        cells = self._cells(row)
        at = self._time("at", cells.pop("at", ""), row.line)
        if at > self._latest:
            raise CellError(
                f"at {self._shown(at)} is in the future: later than now and than the newest record "
                f"({self._shown(self._latest)}); correct the row, or this machine's clock"
            )
        entry, typed = self._entry(at, cells, row.line)
        self._before = at
        return NewEvent(
            entry=entry,
            at_typed=row.cells[self._columns.index("at")] if row.cells else "",
            zone=self._setting.zone,
            how=How.LOGGER if Flag.LOGGER in entry.flags else How.IMPORTED,
            typed=typed,
            line=row.text,
        )

    def _cells(self, row: RawRow) -> dict[str, str]:
        if row.cells is None:
            raise CellError("damaged: a quote is left open or stands in the wrong place")
        if len(row.cells) > len(self._columns) and any(row.cells[len(self._columns) :]):
            raise CellError(
                f"damaged: {len(row.cells)} cells under {len(self._columns)} columns; "
                "is there a comma inside a number or a note?"
            )
        filled = {
            name: cell
            for name, cell in zip(self._columns, row.cells, strict=False)
            if cell and (cell.casefold() not in BLANKS or name in TEXTS)
        }
        for name in [name for name in filled if name not in KNOWN]:
            self.unknown[name] += 1
            del filled[name]
        return filled

    def _entry(self, at: datetime, cells: Mapping[str, str], line: int) -> tuple[Entry, tuple[Typed, ...]]:
        facts: dict[str, object] = {}
        typed: list[Typed] = []
        for column, text in cells.items():
            if quantity := BY_NAME.get(column):
                value = number_in(quantity, text)
                before = facts.get(quantity.field)
                if isinstance(before, float) and abs(before - value) > AGREE_K:
                    raise CellError(
                        f"{column} {text} contradicts the other column for {quantity.field} ({before:g})"
                    )
                if quantity.field == "load_kg" and value == 0:
                    continue  # "0" is how a form says that no wood went in
                facts.setdefault(quantity.field, value)
                typed.append(Typed(quantity.field, text, quantity.unit))
            elif column in WORDS:
                facts[column] = word_in(column, text)
            elif column in TEXTS:
                facts[column] = unguarded(text)
            elif column in YES_OR_NO:
                facts[column] = yes_in(column, text)
            elif column == "reset_at":
                facts[column] = self._time(column, text, line)
            elif column == "matter":
                facts[column] = _matter(text)
            elif column == "flags":
                facts[column] = frozenset(Flag(word) for word in text.split() if word in set(Flag))
        if not facts.keys() - _SAY_NOTHING_ALONE:
            raise CellError("nothing stands in this row but a time")
        entry = Entry(at=at, **facts)  # type: ignore[arg-type]  # each value was read for its own field
        entry = self._completed(entry, line, said_kindling="kindling" in cells)
        return entry, tuple(typed)

    def _completed(self, entry: Entry, line: int, *, said_kindling: bool) -> Entry:
        """The entry with what follows from its own facts and the description."""
        if entry.note and not said_kindling and "kindling" in entry.note.casefold():
            alone = entry.note.strip(" .").casefold() == "kindling"
            entry = replace(entry, kindling=True, note=None if alone else entry.note)
        if entry.low_c is not None and entry.high_c is not None and entry.low_c > entry.high_c:
            raise CellError(f"low {entry.low_c:g} °C is above high {entry.high_c:g} °C; swap them")
        if entry.reset_at is not None and entry.reset_at > entry.at:
            raise CellError("reset_at is later than at: the thermometer was reset before it was read")
        entry = self._moist(entry)
        if entry.load_kg is None and entry.pieces:
            entry = self._weighed(entry, line)
        ours = "flags" in self._columns  # what was odd was asked about before it was written out
        for odd in () if ours else unlikely(entry, max_load_kg=self._setting.max_load_kg):
            entry = replace(entry, flags=entry.flags | {Flag.ODD_VALUE})
            self.flagged.append(Remark(line, f"{odd.text} Kept, not learned from"))
        limit = self._setting.max_load_kg
        if entry.load_kg is not None and limit is not None and entry.load_kg > limit + 1e-9:
            entry = replace(entry, flags=entry.flags | {Flag.OVER_LIMIT})
            self.flagged.append(
                Remark(line, f"load {entry.load_kg:g} kg is above the stove's {limit:g} kg; kept")
            )
        return entry

    def _moist(self, entry: Entry) -> Entry:
        if entry.moisture_pct is None:
            return entry
        basis = entry.moisture_basis or self._setting.moisture_basis
        if entry.moisture_pct > MOST_MOISTURE_PCT[basis]:
            raise CellError(
                f"moisture_pct {entry.moisture_pct:g} % of the {basis} wood cannot be (up to "
                f"{MOST_MOISTURE_PCT[basis]:g} %)"
                + ("; is it of the dry wood?" if basis is Basis.WET else "")
            )
        return replace(entry, moisture_basis=basis)

    def _weighed(self, entry: Entry, line: int) -> Entry:
        kg = pieces_kg(entry.pieces or "", self._setting.weights_kg)
        if kg is None:
            known = ", ".join(name for name, _ in self._setting.weights_kg) or "none"
            text = f"pieces '{entry.pieces}' kept, but not weighed: known sizes are {known}; give load_kg"
            self.flagged.append(Remark(line, text))
        elif kg > MOST_LOAD_KG:
            said = (entry.pieces or "")[:40]
            raise CellError(f"pieces '{said}' weigh {kg:g} kg; a load is taken up to {MOST_LOAD_KG:g} kg")
        return replace(entry, load_kg=kg)

    def _shown(self, moment: datetime) -> str:
        return f"{moment.astimezone(self._zone):%Y-%m-%d %H:%M}"

    def _time(self, column: str, text: str, line: int) -> datetime:
        if not text:
            raise CellError(f"{column} is blank: a row needs its time")
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            raise CellError(f"{column} '{text}' is no date and time; write it as 2026-01-16T22:30") from None
        if ":" not in text and "T" not in text.upper():
            raise CellError(f"{column} '{text}' has no time of day; write it as {text}T22:30")
        if not YEARS[0] <= moment.year <= YEARS[1]:
            wrong = f"before {YEARS[0]}" if moment.year < YEARS[0] else f"after {YEARS[1]}"
            raise CellError(f"{column} {text[:10]} is {wrong}; correct the year")
        if moment.tzinfo is not None:
            return moment.astimezone(UTC)
        return self._local(moment, column, line)

    def _local(self, clock: datetime, column: str, line: int) -> datetime:
        """The moment a local clock time means, on nights when clocks change too."""
        first = clock.replace(tzinfo=self._zone).astimezone(UTC)
        later = clock.replace(tzinfo=self._zone, fold=1).astimezone(UTC)
        if first == later:
            return first
        if not local_instants(clock.date(), clock.time(), self._setting.zone):
            shown = f"{first.astimezone(self._zone):%H:%M}"
            text = f"{column} {clock:%H:%M} was skipped when clocks went forward; taken as {shown}"
            self._say_once(line, text, night=f"{clock:%Y-%m-%d} skipped")
            return first
        # The hour that comes twice: the first one, unless the rows before have passed it already.
        before = self._before
        passed = before is not None and first + MISDATED <= before <= later
        nth = "second" if passed else "first"
        text = f"{column} {clock:%H:%M} came twice that night; taken as the {nth}"
        self._say_once(line, text, night=f"{clock:%Y-%m-%d} {nth}")
        return later if passed else first

    def _say_once(self, line: int, text: str, *, night: str) -> None:
        """A remark that holds for every row of that hour: a logger has a dozen of them."""
        if night not in self._said:
            self._said.add(night)
            self.flagged.append(Remark(line, f"{text} (and the rows like it)"))


def _matter(text: str) -> Matter:
    try:
        return matter_from(text)
    except BadInputError as error:
        raise CellError(" ".join(str(error).split())) from error


LONGEST_PIECES = 200
"""Signs of a cell that may count pieces; a longer one is kept and not weighed. ASSUMED: nobody has so many
sizes, and looking through thousands of digits for them takes seconds."""

_COUNT = re.compile(r"(\d+(?:[.,]\d+)?)\s*[x×]?\s*([^\W\d]+)")


def pieces_kg(text: str, weights_kg: Sequence[tuple[str, float]]) -> float | None:
    """What counted pieces such as "3M 1L" weigh, kg; None when a size has no weight or a word is over."""
    weights = {name.casefold(): kg for name, kg in weights_kg}
    if len(text) > LONGEST_PIECES:
        return None
    counted = _COUNT.findall(text)
    rest = _COUNT.sub("", text).replace(",", " ").replace("+", " ").split()
    if not counted or any(word.casefold() != "and" for word in rest):
        return None
    parts = [(float(count.replace(",", ".")), weights.get(name.casefold())) for count, name in counted]
    if any(kg is None for _, kg in parts):
        return None
    return round(sum(count * kg for count, kg in parts if kg is not None), 6)
