"""Bringing a table into the log: what is new goes in as one batch, what is there already does not."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Callable, Iterator, Sequence, Set
from contextlib import ExitStack
from dataclasses import dataclass, field, fields
from datetime import datetime
from functools import partial
from hashlib import blake2b
from itertools import islice, pairwise
from operator import attrgetter

from logbook.errors import TableError
from logbook.records import Entry, Flag, NewEvent
from logbook.setting import Setting
from logbook.store import queries
from logbook.store.connection import explained
from logbook.store.log import Log
from logbook.store.loggers import Pace
from logbook.store.rows import Row, entry_values, time_text
from logbook.store.tables_in import Remark, Rows

_SHOWN = 20
"""How many refused rows an error lists; the rest are counted."""

AT_ONCE = 500
"""Rows held and looked up in one question. SQLite takes 999 values at least (sqlite.org, "Limits"; from
memory)."""

_KINDS = tuple(f.name for f in fields(Entry) if f.name not in ("at", "place", "flags"))
_said = attrgetter(*_KINDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What an import did, or with ``preview`` would do.

    ``read`` rows = ``added`` + ``duplicates`` + refused. ``by_logger`` counts the added rows a logging
    thermometer wrote. ``kinds`` counts what was added, by field: (("indoor_c", 120), ...).
    ``first_at`` and ``last_at`` span what the table holds, new or not. ``batch`` takes it back whole.
    """

    read: int
    added: int
    duplicates: int
    refused: tuple[Remark, ...]
    flagged: tuple[Remark, ...]
    remarks: tuple[str, ...]
    by_logger: int
    kinds: tuple[tuple[str, int], ...]
    first_at: datetime | None
    last_at: datetime | None
    batch: str | None
    preview: bool


def import_table(
    log: Log,
    data: bytes,
    *,
    setting: Setting,
    now: datetime,
    strict: bool = False,
    preview: bool = False,
    told: Callable[[int, int], None] = lambda _done, _of: None,
    before: Callable[[int], None] = lambda _rows: None,
) -> ImportReport:
    """Bring the rows of a table into the log as one act.

    A row with the ``at`` and the values of one the log has, or had before it was edited or removed by
    hand, is a duplicate and stays out. The table is gone through twice, first to judge it as a whole: a
    logger's million of rows need not be held.

    Args:
        log: Where to.
        data: The table's bytes.
        setting: What the rows are read against; ``newest_at`` is taken from the log.
        now: The clock.
        strict: All rows or none.
        preview: Change nothing, say what would be done.
        told: Told now and then how many rows are done, of how many (0: not known yet).
        before: Called once before the first row is written, with how many can be read.

    Raises:
        TableError: The table cannot be read, no row of it can, or with ``strict`` one cannot.
        LogFileError: Nothing was kept.
    """
    now = max(filter(None, (now, log.newest_at())))
    whole = _Whole(Rows(data, setting=setting, now=now), told)
    rows, refused = whole.rows, tuple(whole.rows.refused)
    if refused and (strict or not whole.readable):
        raise TableError(_refusals(refused, rows.count, strict=strict))
    done = _Done({remark.line for remark in rows.flagged})
    again = ((line, whole.pace.marked(item)) for line, item in Rows(data, setting=setting, now=now))
    seen, told_more = _Seen(log, twice=whole.twice), partial(_told_of, told, whole.readable)
    begin = partial(before, whole.readable)
    batch = _brought_in(log, again, seen, done, preview=preview, told=told_more, before=begin)
    return ImportReport(
        read=rows.count,
        added=done.added,
        duplicates=whole.readable - done.added,
        refused=refused,
        flagged=tuple(remark for remark in rows.flagged if remark.line in done.lines),
        remarks=rows.remarks,
        by_logger=done.by_logger,
        kinds=tuple(done.kinds.most_common()),
        first_at=whole.first_at,
        last_at=whole.last_at,
        batch=batch,
        preview=preview,
    )


def _told_of(told: Callable[[int, int], None], of: int, rows: int) -> None:
    told(rows, of)


def _brought_in(
    log: Log,
    rows: Iterator[tuple[int, NewEvent]],
    seen: _Seen,
    done: _Done,
    *,
    preview: bool,
    told: Callable[[int], None],
    before: Callable[[], None],
) -> str | None:
    """Write what is new of the rows and count it; the batch it is, if anything was written."""
    pen = None
    with ExitStack() as act:
        while some := list(islice(rows, AT_ONCE)):
            fresh = seen.fresh(some)
            if fresh and not preview:
                if pen is None:  # one act, begun with the first new row
                    before()
                    pen = act.enter_context(log.writing())
                for _, item in fresh:
                    pen.record(item)
            done.count(some, fresh)
            told(done.rows)
    return pen.batch if pen else None


class _Whole:
    """What only the whole table tells: its span, a logger's pace, and which times stand in it twice."""

    def __init__(self, rows: Rows, told: Callable[[int, int], None]) -> None:
        self.rows = rows
        self.pace = Pace()
        self.first_at: datetime | None = None
        self.last_at: datetime | None = None
        times = array("d")  # a million of them take 8 MB
        for _, item in rows:
            at = item.entry.at
            self.pace.see(item.entry)
            times.append(at.timestamp())
            self.first_at = min(at, self.first_at or at)
            self.last_at = max(at, self.last_at or at)
            if len(times) % AT_ONCE == 0:
                told(rows.count, 0)
        self.readable = len(times)
        self.twice = frozenset(here for here, after in pairwise(sorted(times)) if here == after)


class _Seen:
    """Which rows the log has, or the table had further up."""

    def __init__(self, log: Log, *, twice: frozenset[float]) -> None:
        self._log = log
        self._twice = twice
        self._further_up: set[bytes] = set()

    def fresh(self, some: Sequence[tuple[int, NewEvent]]) -> list[tuple[int, NewEvent]]:
        """Those of some rows that neither has."""
        times = {time_text(item.entry.at) for _, item in some}
        asked = f"{queries.EVER_SAID_AT}(?{', ?' * (len(times) - 1)})"
        with explained(self._log.path):
            in_log = set(map(_likeness, self._log.connection.execute(asked, tuple(times))))
        return [(line, item) for line, item in some if self._is_new(item.entry, in_log)]

    def _is_new(self, entry: Entry, in_log: Set[Row]) -> bool:
        if not in_log and entry.at.timestamp() not in self._twice:
            return True
        likeness = _likeness(entry_values(entry))
        if likeness in in_log:
            return False
        if entry.at.timestamp() in self._twice:
            short = blake2b(repr(likeness).encode("utf-8", "surrogatepass"), digest_size=16).digest()
            if short in self._further_up:
                return False
            self._further_up.add(short)
        return True


@dataclass
class _Done:
    """What was brought in, or would be."""

    told_of: Set[int]
    rows: int = 0
    added: int = 0
    by_logger: int = 0
    kinds: Counter[str] = field(default_factory=Counter)
    lines: set[int] = field(default_factory=set)

    def count(self, some: Sequence[tuple[int, NewEvent]], fresh: Sequence[tuple[int, NewEvent]]) -> None:
        """Count some more rows, and those of them that are new."""
        self.rows += len(some)
        self.added += len(fresh)
        self.by_logger += sum(Flag.LOGGER in item.entry.flags for _, item in fresh)
        self.lines.update(line for line, _ in fresh if line in self.told_of)
        for _, item in fresh:
            said = zip(_KINDS, _said(item.entry), strict=True)
            self.kinds.update([name for name, value in said if value is not None and value is not False])


def _likeness(row: Row) -> Row:
    """What makes two rows the same: everything but the flags, which stand last."""
    return row[:-1]


def _refusals(refused: Sequence[Remark], rows: int, *, strict: bool) -> str:
    listed = [f"line {remark.line}: {remark.text}" for remark in refused[:_SHOWN]]
    if len(refused) > _SHOWN:
        listed.append(f"and {len(refused) - _SHOWN} more")
    if strict:
        head = f"{len(refused)} of {rows} rows cannot be read, so none went in (--strict):"
        tail = "Correct them, or import without --strict: the other rows go in."
    else:
        head = f"None of the {rows} rows could be read:"
        tail = "Correct them and import again; nothing was changed."
    return "\n".join([head, *listed, tail])
