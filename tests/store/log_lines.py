"""Lines for a test's log."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from logbook.records import Entry, NewEvent
from logbook.store.log import Log

START = datetime(2026, 1, 16, 20, 0, tzinfo=UTC)


def said(hour: float, **facts: object) -> NewEvent:
    """One line, meant for some hours after START."""
    return NewEvent(entry=Entry(at=START + timedelta(hours=hour), **facts), line="as typed")  # type: ignore[arg-type]


def rooms(log: Log) -> list[float | None]:
    """The indoor readings that hold, in the order written."""
    return [entry.indoor_c for entry in log.entries()]
