"""Which rows of the notebook belong to which stay; ``notebook`` reads what each of them tells.

A module of its own: when the stay began stands in the head rows, and the first frame waits for them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from logbook.records import Entry, Mark

LATE_ROW = timedelta(minutes=35)
"""A row stamped up to this much after the row written next is taken as stamped late.
ASSUMED: in simulated notebooks 4–6 % of rows were 10–20 min off."""

STAY_GAP = timedelta(hours=18)
"""A stay ends when nothing was written for this long (design: 18 h, longer after going to bed)."""

LONGEST_PIECE = timedelta(days=14)
"""A longer stay is cut into pieces of this length, each with its own start."""


def in_written_order(entries: Sequence[Entry]) -> tuple[list[Entry], int]:
    """Entries in the order they were written, times mended so that they never run back.

    A row far earlier than the last one was copied in afterwards: a new run of rows begins there, and runs are
    merged by time. Within a run, a row up to 35 min after the row written next was stamped late and is
    pulled back to it.

    Returns:
        The rows, and how many were pulled back.
    """
    runs: list[list[Entry]] = []
    newest: datetime | None = None
    for entry in entries:
        if newest is None or entry.at + LATE_ROW < newest:
            runs.append([])
            newest = entry.at
        runs[-1].append(entry)
        newest = max(newest, entry.at)
    mended: list[Entry] = []
    pulled = 0
    for run in runs:
        times = [entry.at for entry in run]
        for i in range(len(run) - 2, -1, -1):
            if timedelta(0) < times[i] - times[i + 1] <= LATE_ROW:
                times[i] = times[i + 1]
                pulled += 1
        for i in range(1, len(run)):
            times[i] = max(times[i], times[i - 1])
        mended += [row if row.at == at else replace(row, at=at) for row, at in zip(run, times, strict=True)]
    mended.sort(key=lambda row: row.at)  # stable: rows of one time stay in their order
    return mended, pulled


def rows_by_stay(entries: Sequence[Entry], *, until: datetime | None = None) -> tuple[list[list[Entry]], int]:
    """The rows of each stay in order of time, oldest stay first, and how many rows were pulled back.

    Args:
        entries: As written, in the order written; what says nothing of the night, as a change set down
            at home, is passed over.
        until: Rows later than this are left out (records that don't exist yet).
    """
    known = [
        e
        for e in entries
        if (until is None or e.at <= until) and not e.is_matter_alone and not e.is_change_alone
    ]
    rows, pulled = in_written_order(known)
    pieces: list[list[Entry]] = []
    asleep = False
    for row in rows:
        last = pieces[-1][-1] if pieces else None
        gap = STAY_GAP * 2 if asleep else STAY_GAP
        begins = (
            last is None
            or row.at - last.at > gap
            or (last.mark is Mark.LEFT and row.at > last.at)
            or (row.mark is Mark.ARRIVED and (row.at > last.at or _left_just_now(pieces[-1], row.at)))
            or row.at - pieces[-1][0].at > LONGEST_PIECE
        )
        if begins:
            pieces.append([])
        pieces[-1].append(row)
        if row.mark is not None:
            asleep = row.mark is Mark.BED
    return pieces, pulled


def _left_just_now(piece: Sequence[Entry], at: datetime) -> bool:
    """Whether the last one had left in the very minute in which somebody arrived: two stays all the same."""
    return any(row.mark is Mark.LEFT for row in piece if row.at == at)


def by_a_person(rows: Sequence[Entry]) -> bool:
    """Whether somebody was there: rows of readings alone may be a logging thermometer's."""
    return any(
        row.mark or row.load_kg or row.air_open_pct is not None or row.coals or row.window for row in rows
    )
