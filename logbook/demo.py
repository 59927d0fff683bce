"""The demo log: an invented cabin's two winters, written afresh each time it is asked for.

Notebook, description and emergency page lie beside this file as package data; ``seeds/`` says how they were
made.
"""

from __future__ import annotations

from datetime import UTC, datetime
from importlib.resources import files
from itertools import count
from pathlib import Path
from uuid import UUID, uuid5

from logbook.description import parse_description
from logbook.errors import LogFileError
from logbook.records import Description, Entry
from logbook.setting import setting_of
from logbook.store.connection import explained
from logbook.store.importing import import_table
from logbook.store.log import open_log
from logbook.store.tables_in import read_table

DEMO_SPACE = UUID("6f0a4b52-7f0e-4d39-9a3c-3f1c5f6f2a11")
"""Identifiers in the demo come from this one, so that two copies hold the same events. Any would do."""


EMERGENCY_CHECKED = datetime(2025, 10, 11, 15, 0, tzinfo=UTC)
"""When the invented owners last went over their emergency page: the autumn work of the second year."""


def demo_description_text() -> str:
    """The cabin as its invented owners describe it, TOML."""
    return _data("demo.toml").decode("utf-8")


def demo_description() -> Description:
    """The same, read."""
    return parse_description(demo_description_text(), machine_zone="UTC")


def demo_entries() -> tuple[Entry, ...]:
    """What the demo's notebook says, in the order written."""
    end_of_days = datetime.max.replace(tzinfo=UTC)
    table = read_table(_data("demo.csv"), setting=setting_of(demo_description()), now=end_of_days)
    return tuple(new.entry for _, new in table.new)


def demo_now() -> datetime:
    """The demo's last evening, aware: the moment for which it answers "tonight"."""
    return max(entry.at for entry in demo_entries())


def write_demo(path: Path) -> datetime:
    """Write a fresh demo log to ``path``; the moment it answers for (see ``demo_now``).

    Every copy is the same: its clock stands at that moment.

    Raises:
        LogFileError: There is a file already, or it cannot be written. Nothing was changed.
    """
    with explained(path):
        there = path.exists()
    if there:
        raise LogFileError(
            f"{path} is there already; the demo would have to be written over it.\n"
            "Name a file that does not exist yet."
        )
    now = demo_now()
    numbers = count(1)
    description = demo_description()
    with open_log(
        path,
        now=lambda: now,
        new_uuid=lambda: str(uuid5(DEMO_SPACE, str(next(numbers)))),
        device=str(DEMO_SPACE),
    ) as log:
        log.add_description(description, source=demo_description_text())
        page = _data("emergency.md").decode("utf-8").rstrip()
        # Under the names ``actions.emergency`` keeps it by; a test reads it back through there.
        log.add((), learned=(("emergency", page), ("emergency_checked", EMERGENCY_CHECKED.isoformat())))
        import_table(log, _data("demo.csv"), setting=setting_of(description), now=now, strict=True)
    return now


def _data(name: str) -> bytes:
    return files("logbook").joinpath("demo_data", name).read_bytes()
