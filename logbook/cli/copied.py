"""The copy made on leaving, beside the answer of the command by which somebody left."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from logbook.actions.opening import Place, clock
from logbook.results.copies import MadeCopy
from logbook.store.log import Log


def copied_on_leaving(log: Log, place: Place, event_ids: Sequence[str]) -> MadeCopy | None:
    """A copy, if what was just written is leaving; None if it is not."""
    from logbook.actions.safe_copies import copy_now, leaves  # noqa: PLC0415 - after the line is on the disk

    now = clock()
    if not leaves(log, event_ids, now=now):
        return None
    return copy_now(log, place.copies, now=now)


def copied_said(copied: MadeCopy | None) -> list[str]:
    """It in a sentence, where there is something to say."""
    return [copied.said] if copied is not None and copied.said else []


def with_copy(copied: MadeCopy | None) -> dict[str, Any]:
    """It in the answer as JSON: where it is, or why there is none."""
    if copied is None:
        return {}
    return {"copy": None if copied.path is None else str(copied.path), "copy_trouble": copied.trouble}
