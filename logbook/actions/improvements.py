"""Works on the cabin with their costs: from the log to an answer. Only ``compare`` itself runs the model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from logbook.actions.house import house_of
from logbook.actions.woodshed import wood
from logbook.care.improvements import key_of, works_paid
from logbook.errors import LogbookError
from logbook.house import House
from logbook.matters import Improvement
from logbook.results.improvements import WoodPrice, WorksPaid
from logbook.wording.improvements import undated_text

if TYPE_CHECKING:
    from datetime import datetime

    from logbook.results.works import ChangeAnswer
    from logbook.store.log import Log


def paid(house: House, *, compared: Sequence[ChangeAnswer]) -> WorksPaid:
    """Every dated change with its cost and, where it was compared, what it did and when it has paid for
    itself; and costs whose work has no date."""
    return works_paid(house, dated=_dated(house), compared=compared, price=wood_price(house))


def paid_for(house: House, *, compared: Sequence[ChangeAnswer] = (), name: str | None = None) -> WorksPaid:
    """The same, the undated ones only as far as they have the name asked for."""
    found = paid(house, compared=compared)
    if name is None:
        return found
    wanted = key_of(name)
    return replace(found, undated=tuple(one for one in found.undated if wanted in key_of(one.name)))


def refuse_undated(house: House, *, name: str | None) -> None:
    """Say how to date a work whose cost is written down, where nothing else answers to the name.

    Raises:
        LogbookError: A cost is on record under that name, and no dated change.
    """
    wanted = "" if name is None else key_of(name)
    if any(wanted in key_of(known) for known, _ in _dated(house)):
        return
    undated = paid_for(house, name=name).undated
    if undated:
        raise LogbookError(
            "Nothing to compare yet: a cost is on record, but no dated change.\n"
            + "\n".join(undated_text(one) for one in undated)
        )


def undated_said(log: Log, event_ids: Sequence[str]) -> tuple[str, ...]:
    """For lines just kept: a word where a cost was written for a work that has no date yet."""
    for uuid in event_ids:
        event = log.find(uuid)
        if event.entry is None or not isinstance(event.entry.matter, Improvement):
            continue
        wanted = key_of(event.entry.matter.name)
        found = paid(house_of(log, as_of=max(event.written_at, event.entry.at)), compared=()).undated
        return tuple(undated_text(one) for one in found if key_of(one.name) == wanted)
    return ()


def wood_price(house: House) -> WoodPrice:
    """What a kg of wood cost by the owner's own stacks; nothing known where none says it."""
    cost = wood(house).cost
    if cost is None:
        return WoodPrice()
    return WoodPrice(money_per_kg=cost.money_per_kg, hours_per_kg=cost.hours_per_kg)


def _dated(house: House) -> tuple[tuple[str, datetime], ...]:
    return tuple((e.change, e.at) for e in house.entries if e.change)
