"""Two logs into one: asked first when they look like two cabins', copied before, told what both changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from logbook.actions.kept_apart import words_apart
from logbook.actions.safe_copies import copy_now
from logbook.actions.setting_now import setting_now
from logbook.errors import BadInputError, LogbookError
from logbook.records import Act
from logbook.results.conflicts import KeptSide, Side, ToldConflict, ToldSetting
from logbook.store import merging, settling
from logbook.store.conflicts import Conflict
from logbook.store.dated_copies import dated_copies
from logbook.store.loads_twice import loads_twice
from logbook.store.log import Log
from logbook.store.sides import Sides
from logbook.wording.amounts import how_many
from logbook.wording.conflicts import (
    NONE_OPEN,
    SHORT,
    conflict_rows,
    kept_text,
    setting_rows,
    side_text,
    typed_twice_text,
)
from logbook.wording.copies import kept_before_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """What a merge did: sentences, what could not be done beside it, and what is in conflict still."""

    new: int
    copy: Path | None
    said: tuple[str, ...]
    troubles: tuple[str, ...]
    conflicts: tuple[ToldConflict, ...]
    settings: tuple[ToldSetting, ...]


def merge(log: Log, other: Path, *, copies: Path, now: datetime, yes: bool = False) -> Joined:
    """Bring in every event of another log that this one lacks.

    Args:
        log: Where to.
        other: The other log's file; it is not changed.
        copies: Where a copy of this log as it was before goes.
        now: The clock.
        yes: Go on although the two look like the logs of two cabins.

    Raises:
        LogbookError: They look like two cabins', and ``yes`` was not said.
        LogFileError: The other file is no sound log; nothing was changed.
    """
    kin = merging.kinship(log, other)
    if kin.strangers and not yes:
        raise LogbookError(
            f"{other} has no event in common with {log.path}, and describes another cabin: it looks like the "
            "log of a second one, which has a log of its own.\n"
            "Nothing was changed. If it is the same cabin all the same: nightload merge FILE --yes"
        )
    before = {c.ident for c in told_conflicts(log)} | {s.ident for s in told_settings(log)}
    stood_twice = loads_twice(log)
    made = copy_now(log, copies, now=now) if kin.theirs else None
    new = merging.merge(log, other)
    found, kept_apart = told_conflicts(log), told_settings(log)
    were = f"{how_many(new, 'event')} {'was' if new == 1 else 'were'} new."
    said = [were if new else "Nothing new: everything is here already."]
    newest = dated_copies(log.path, copies)[-1:]
    if new and newest and not (made and made.trouble):
        said.append(kept_before_text(newest[0].path))
    setting = setting_now(log)
    said += [r for c in found if c.ident not in before for r in conflict_rows(c, setting=setting)]
    said += [r for s in kept_apart if s.ident not in before for r in setting_rows(s, setting=setting)]
    if again := [load.at for load in loads_twice(log) - stood_twice]:
        said.append(typed_twice_text(again, zone=setting.zone))
    troubles = (made.trouble,) if made and made.trouble else ()
    return Joined(
        new=new,
        copy=made.path if made else None,
        said=tuple(said),
        troubles=troubles,
        conflicts=found,
        settings=kept_apart,
    )


def told_conflicts(log: Log) -> tuple[ToldConflict, ...]:
    """Every entry whose sides are not settled, in the order of the log."""
    return tuple(_told(log, conflict) for conflict in settling.conflicts(log))


def told_settings(log: Log) -> tuple[ToldSetting, ...]:
    """Everything kept as a whole whose sides differ."""
    return tuple(_told_setting(log, sides) for sides in settling.settings_apart(log))


def listed(log: Log) -> tuple[str, ...]:
    """The same in sentences."""
    setting = setting_now(log)
    rows = [row for conflict in told_conflicts(log) for row in conflict_rows(conflict, setting=setting)]
    rows += [row for told in told_settings(log) for row in setting_rows(told, setting=setting)]
    return tuple(rows) or (NONE_OPEN,)


def choose(log: Log, ident: str, number: int) -> str:
    """Settle one entry for one of its sides, by the number it is listed under; undo opens it again.

    Raises:
        BadInputError: No such entry, or no such number.
    """
    if (sides := settling.setting_named(log, ident)) is not None:
        return _choose_setting(log, sides, number)
    conflict = settling.conflict_named(log, ident)
    _refuse_beyond(number, len(conflict.claims))
    side = _told(log, conflict).sides[number - 1]
    settling.settle(log, conflict, conflict.claims[number - 1])
    text = side_text(side, setting=setting_now(log)).removeprefix("holds: ")
    return f"{conflict.root[:SHORT]} is settled: {text}. nightload undo opens it again."


def _choose_setting(log: Log, sides: Sides, number: int) -> str:
    told = _told_setting(log, sides)
    _refuse_beyond(number, len(told.sides))
    settling.settle_setting(log, sides, sides.sides[::-1][number - 1])
    text = kept_text(told.sides[number - 1], setting=setting_now(log))
    return f"{told.ident[:SHORT]} is settled: {text}"


def _refuse_beyond(number: int, sides: int) -> None:
    if not 1 <= number <= sides:
        raise BadInputError(
            f"It has {sides} sides, so {number} is none of them.\nnightload conflicts lists them."
        )


def _told_setting(log: Log, sides: Sides) -> ToldSetting:
    ordered = sides.sides[::-1]
    events = [log.version(side.uuid) for side in ordered]
    words = words_apart(sides.name, [side.value for side in ordered])
    return ToldSetting(
        ident=events[0].uuid,
        name=sides.name,
        sides=tuple(
            KeptSide(
                holds=n == 0, text=side.value, words=said, device=event.device, written_at=event.written_at
            )
            for n, (event, side, said) in enumerate(zip(events, ordered, words, strict=True))
        ),
    )


def _told(log: Log, conflict: Conflict) -> ToldConflict:
    sides = []
    for claim in conflict.claims:
        event = log.version(claim.key)
        sides.append(
            Side(
                holds=claim.holds,
                entry=None if claim.says is None else log.version(claim.says).entry,
                by_undo=event.act is Act.UNDO,
                device=event.device,
                written_at=event.written_at,
            )
        )
    return ToldConflict(ident=conflict.root, sides=tuple(sides))
