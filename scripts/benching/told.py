"""The demo's notebook, cut or laid end to end: logs of as many stays as a measurement needs."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from itertools import chain

from logbook.demo import demo_description, demo_entries
from logbook.heat.fit import useful_stays
from logbook.heat.notebook import stays
from logbook.records import DatedDescription, Entry

APART = timedelta(days=3 * 364)
"""The demo spans two winters: copies this far apart don't touch, and keep their weekdays and seasons."""


def described() -> list[DatedDescription]:
    """The demo's description as the only version."""
    return [DatedDescription(uuid="bench", valid_from=None, description=demo_description())]


def demo_stays() -> int:
    """How many stays of the demo can be learned from."""
    return len(useful_stays(stays(demo_entries()), None))


def notebook(of_stays: int) -> list[Entry]:
    """The demo's rows as often as it takes, each copy years before the next; the last as it is."""
    copies = -(-of_stays // demo_stays())
    rows = demo_entries()
    return list(
        chain.from_iterable(
            [replace(e, at=e.at - k * APART) for e in rows] for k in range(copies - 1, -1, -1)
        )
    )


def now_of(rows: list[Entry]) -> datetime:
    """The moment after the last row."""
    return max(e.at for e in rows)
