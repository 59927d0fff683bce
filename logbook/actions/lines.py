"""Lines of the log: read them against what is known now, keep, change, leave out, take back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from logbook.actions.measures_kept import Measure, own_measures
from logbook.actions.own_measures import keep_measure, measure_act_text, turned_text, with_counted
from logbook.actions.setting_now import setting_now
from logbook.actions.time_now import in_force_from
from logbook.entry import LineActKind, Understood, answered, may_name_supply, may_tell_matter, read_line
from logbook.errors import EntryError, LogbookError
from logbook.records import Act, Description, Entry, Event, How, NewEvent
from logbook.setting import Setting
from logbook.store.conflicts import settles
from logbook.wording import day_text, line_cautions, sentence, span_text, time_text

if TYPE_CHECKING:
    from logbook.store.log import Log

MOST_QUESTIONS = 8
"""Questions one line can raise; a guard, never reached."""

WRITTEN_SOON = timedelta(hours=36)
"""A line written this soon after its time had its clock time read against that evening. ASSUMED."""

UNDONE, REDONE = "Taken back", "Brought back"
STANDS_ALREADY = "The same stood there already and counts twice now: undo takes this one back"

NAMES_FROM = 200
"""Matters looked at for the names in use. ASSUMED: two years of a busy log; older names are typed in full."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """What became of a line: said back, with what to know about it."""

    sentence: str
    event_ids: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def with_names(log: Log, setting: Setting, text: str) -> Setting:
    """The setting with names of stacks, supplies, lists, upkeep, and old loads, where the line needs them.

    A line of the night is read without: the log's matters are only looked at for one that may tell another.
    """
    setting = with_counted(log, setting, text)
    if not may_tell_matter(text) and not may_name_supply(text):
        return setting
    from logbook.matters import Bring, Brought, Level, Stack, Tick  # noqa: PLC0415 - most lines need none
    from logbook.results.upkeep_words import TASK_WORDS  # noqa: PLC0415 - as above

    told = [entry.matter for entry in log.matters(newest=NAMES_FROM)]
    brought: dict[str, bool] = {}
    for matter in told:
        if isinstance(matter, Bring):
            brought.setdefault(matter.item, matter.got)
    return replace(
        setting,
        stacks=_once(m.name for m in told if isinstance(m, Stack)),
        supplies=_once(m.item for m in told if isinstance(m, Level | Brought)),
        to_bring=tuple(item for item, got in brought.items() if not got),
        lists=_once(m.list_name for m in told if isinstance(m, Tick)),
        tasks=TASK_WORDS + tuple((name, ()) for name in _own_tasks(told, {name for name, _ in TASK_WORDS})),
    )


def _own_tasks(told: Sequence[object], shipped: set[str]) -> tuple[str, ...]:
    from logbook.matters import Upkeep, UpkeepRule  # noqa: PLC0415 - as above

    tasks = _once(m.task for m in told if isinstance(m, Upkeep | UpkeepRule))
    return tuple(task for task in tasks if task not in shipped)


def _once(names: Iterable[str]) -> tuple[str, ...]:
    """Each name once, in the order met."""
    return tuple(dict.fromkeys(names))


def note(log: Log, text: str, *, now: datetime, yes: bool = False) -> Noted:
    """Keep a line at once, or do what it asks for; what would have to be asked is refused unless ``yes``.

    Raises:
        EntryError: The line says nothing, can't be, or leaves something open.
    """
    heard = read_line(text, now=now, setting=with_names(log, setting_now(log), text))
    if heard.is_empty:
        raise EntryError(
            'There is nothing to keep in that line.\nType for example: nightload note "-12/18 4.2kg air 1/4"'
        )
    if heard.problem is not None:
        raise EntryError(heard.problem.message)
    settled, warnings = settled_for_scripts(heard, yes=yes)
    if settled.act is not None:
        return replace(do_act(log, settled, now=now), warnings=warnings)
    return keep(log, settled, warnings=warnings)


def settled_for_scripts(heard: Understood, *, yes: bool) -> tuple[Understood, tuple[str, ...]]:
    """A line with its questions settled as nobody is there to answer, with a warning, or refused.

    A script that says yes is taken at its word: an amount stays as it was typed, however odd. What a line
    leaves open is taken as assumed.

    Raises:
        EntryError: A question that must be asked stands open, and ``yes`` was not said; or it can't be.
    """
    warnings = []
    for _ in range(MOST_QUESTIONS):
        if not heard.questions:
            break
        question = heard.questions[0]
        key = question.as_typed or question.assumed
        means = {a.key: a.means for a in question.answers}.get(key, key)
        if question.blocks_scripts and not yes:
            raise EntryError(
                f"{question.text}\nNothing was kept. Write it so that it can't be doubted, or add --yes "
                f"to take it as: {means}."
            )
        warnings.append(f"{question.text} Kept: {means}." if question.as_typed else question.text)
        heard = answered(heard, key)
    if heard.problem is not None:  # what was typed may be more than can be kept
        raise EntryError(heard.problem.message)
    return heard, tuple(warnings)


def keep(log: Log, heard: Understood, *, warnings: tuple[str, ...] = ()) -> Noted:
    """Keep what a line says as one act, and say it back; and that the same stands there already."""
    said = said_back(heard)
    if _stands_already(log, heard.entries):
        said += f". {STANDS_ALREADY}"
    kept = log.add(_new_events(heard), learned=heard.learned)
    return Noted(sentence=said, event_ids=tuple(e.uuid for e in kept), warnings=warnings)


def _stands_already(log: Log, entries: Sequence[Entry]) -> bool:
    """Whether one of them stands in the log as it is, at its time: twice the wood would seem to burn."""
    telling = [e for e in entries if e.load_kg or e.indoor_c is not None or e.outdoor_c is not None]
    return any(e in log.entries(e.at, since=e.at) for e in telling)


def edit(log: Log, event_id: str, text: str, *, now: datetime, yes: bool = False) -> Noted:
    """Put a typed line in the place of an entry; without a time in it, the entry's own time stays.

    Raises:
        BadInputError: There is no such entry.
        EntryError: The line says nothing, can't be, or leaves something open.
    """
    heard = read_line(text, now=now, setting=with_names(log, setting_now(log), text))
    return replace_with(log, event_id, heard, now=now, yes=yes)


def replace_with(log: Log, event_id: str, heard: Understood, *, now: datetime, yes: bool = False) -> Noted:
    """Put a line already read in the place of an entry.

    A clock time in it is meant on the entry's own day, so it is read again as it was written then.

    Raises:
        BadInputError: There is no such entry.
        EntryError: The line says nothing, can't be, or leaves something open.
    """
    old = log.find(event_id)
    heard = read_in_place_of(old, heard, now=now)
    if heard.problem is not None:
        raise EntryError(heard.problem.message)
    if heard.entry is None:
        raise EntryError(
            f"That line records nothing.\nTo leave the entry out: nightload remove {old.uuid[:8]}"
        )
    settled, warnings = settled_for_scripts(heard, yes=yes)
    settled = keeping_time(settled, old)
    first, *more = _new_events(settled)
    kept = log.edit(old.uuid, first, more=more)
    said = replace(settled, now=now)
    return Noted(sentence=said_back(said), event_ids=tuple(e.uuid for e in kept), warnings=warnings)


def read_in_place_of(old: Event, heard: Understood, *, now: datetime) -> Understood:
    """A line as it was read now, read again as of when the entry was written that it replaces."""
    then = _read_then(old, now=now)
    if then == heard.now:
        return heard
    setting = replace(heard.setting, newest_at=None, as_of_then=True)
    return read_line(heard.text, now=then, setting=setting, answers=dict(heard.answered))


def _read_then(old: Event, *, now: datetime) -> datetime:
    """The clock a changed line is read against: as when it was written, or soon after its time."""
    if old.entry is None:
        return now
    if timedelta(0) <= old.written_at - old.entry.at <= WRITTEN_SOON:
        return old.written_at
    return min(now, old.entry.at + timedelta(hours=1))


def keeping_time(heard: Understood, old: Event) -> Understood:
    """A changed line that names no time stays at the time of the one it replaces."""
    if heard.at_typed or heard.entry is None or old.entry is None:
        return heard
    at = old.entry.at
    return replace(
        heard,
        entry=replace(heard.entry, at=at),
        more=tuple(replace(e, at=at) for e in heard.more),
        at_typed=old.at_typed,
    )


def remove(log: Log, event_id: str, *, now: datetime) -> Noted:
    """Leave an entry out from now on.

    Raises:
        BadInputError: There is no such entry.
    """
    gone = log.remove(event_id)
    if gone.entry is None:  # it can't be read, and others may not be either
        said = f"the line as typed was: {gone.line.strip()}" if gone.line.strip() else "it had no line"
        text = f"Left out: entry {gone.uuid[:8]}, which can't be read; {said}"
        return Noted(sentence=text, event_ids=(gone.uuid,))
    return Noted(sentence=f"Left out: {event_text(gone, setting_now(log), now=now)}", event_ids=(gone.uuid,))


def record_change(log: Log, name: str, *, since: datetime | None, now: datetime) -> Noted:
    """Record a dated change to cabin or stove; nights before and after it are told apart from then on.

    Raises:
        EntryError: It has no name, or lies in the future.
    """
    setting = setting_now(log)
    words = " ".join(name.split())
    if not words:
        raise EntryError('The change has no name.\nWrite it as: nightload change "skirting"')
    if since is not None and since > now:
        said = f"{day_text(since, zone=setting.zone, year=True)} {time_text(since, zone=setting.zone)}"
        raise EntryError(f"{said} is still to come.\nRecord a change once it is made: --from DATE")
    entry = Entry(at=since or now, change=words)
    kept = log.add([NewEvent(entry=entry, zone=setting.zone, line=f"change {words}")])
    return Noted(sentence=sentence(entry, setting, now=now), event_ids=tuple(e.uuid for e in kept))


def undo(log: Log, *, now: datetime) -> Noted:
    """Take back the last act, whatever it was."""
    return _turned(UNDONE, log, log.undo, now=now)


def redo(log: Log, *, now: datetime) -> Noted:
    """Bring back what was taken back last."""
    return _turned(REDONE, log, log.redo, now=now)


def do_act(log: Log, heard: Understood, *, now: datetime) -> Noted:
    """Do what a line asks for instead of recording it.

    Raises:
        EntryError: It is the name of a page.
        LogbookError: There is nothing to take back, or no description to change.
    """
    act = heard.act
    assert act is not None
    if act.kind is LineActKind.UNDO:
        return undo(log, now=now)
    if act.kind is LineActKind.REDO:
        return redo(log, now=now)
    if act.kind is LineActKind.BAND:
        return _set_band(log, (act.low_c or 0.0, act.high_c or 0.0), now=in_force_from(log, now))
    if act.kind is LineActKind.OWN_WORD:
        said, changed = keep_measure(log, heard)
        return Noted(sentence=said, event_ids=changed)
    raise EntryError(
        f'"{heard.text.strip()}" is the name of a page, not a line to keep.\n'
        f"In the app it opens the page; to keep the word, type: note {heard.text.strip()}"
    )


def act_text(heard: Understood) -> str:
    """What a line will do that asks for something, before it does it."""
    act = heard.act
    if act is None:
        return ""
    if act.kind is LineActKind.UNDO:
        return "takes back the last act"
    if act.kind is LineActKind.REDO:
        return "brings back what was taken back last"
    if act.kind is LineActKind.BAND:
        band = span_text(act.low_c or 0.0, act.high_c or 0.0, units=heard.setting.units)
        return f"wanted from now on: {band}"
    if act.kind is LineActKind.OWN_WORD:
        return measure_act_text(heard)
    return f"opens {act.name}"


def said_back(heard: Understood) -> str:
    """The whole line in one sentence, its cautions after it."""
    parts = [sentence(e, heard.setting, now=heard.now) for e in heard.entries]
    cautions = [caution for e in heard.entries for caution in line_cautions(e, heard.setting)]
    return ". ".join([*parts, *cautions])


def event_text(event: Event, setting: Setting, *, now: datetime) -> str:
    """An entry of the log in one sentence."""
    return sentence(event.entry, setting, now=now) if event.entry else str(event.act)


def _new_events(heard: Understood) -> list[NewEvent]:
    return [
        NewEvent(
            entry=entry,
            at_typed=heard.at_typed,
            zone=heard.zone,
            how=How.TYPED,
            typed=heard.typed if n == 0 else (),
            line=heard.text,
        )
        for n, entry in enumerate(heard.entries)
    ]


TURNED_WORDS = {
    Act.RECORD: "an entry",
    Act.REMOVE: "an entry left out",
    Act.EDIT: "a change of an entry",
    Act.DESCRIBE: "a version of the description",
    Act.SETTING: "a page or list of your own as it was last kept",
}


def _turned(word: str, log: Log, turn: Callable[[], Sequence[Event]], *, now: datetime) -> Noted:
    """What an undo or redo does, said in one sentence.

    It is done even where the log holds something that can't be read: it may be what is taken back.
    """
    try:
        measures = own_measures(log)
    except LogbookError:
        measures = {}
    events = turn()
    ids = tuple(e.uuid for e in events)
    try:
        return Noted(sentence=f"{word}: {_turned_text(word, log, events, measures, now=now)}", event_ids=ids)
    except LogbookError as error:
        return Noted(sentence=f"{word}: {_acts_text(events)}", event_ids=ids, warnings=(str(error),))


def _acts_text(events: Sequence[Event]) -> str:
    acts = {TURNED_WORDS.get(e.act, str(e.act)) for e in events if not settles(e)}
    return ", ".join(sorted(acts)) or "nothing"


def _turned_text(
    word: str, log: Log, events: Sequence[Event], measures: Mapping[str, Measure], *, now: datetime
) -> str:
    setting = setting_now(log)
    measured = turned_text(measures, own_measures(log), setting.units)
    entries: list[Entry] = [e.entry for e in events if e.entry is not None]
    if len(entries) == 1:
        said = sentence(entries[0], setting, now=now)
    elif entries:
        said = f"{len(entries)} entries"
    elif measured:
        said, measured = measured, ""
    else:
        said = _acts_text(events)
    back = [e.supersedes for e in events if e.act is Act.REMOVE and e.supersedes]
    if word == UNDONE and len(back) == 1 and log.version(back[0]).act is not Act.REMOVE:
        said = f"{said}; it is back: {event_text(log.find(back[0]), setting, now=now)}"
    if measured:
        said = f"{said}; {measured}"
    if word == UNDONE and any(map(settles, events)):
        said = f"{said}. Open again: nightload conflicts"
    return said


def _set_band(log: Log, band_c: tuple[float, float], *, now: datetime) -> Noted:
    description: Description = log.description()
    comfort = replace(description.comfort, band_c=band_c)
    log.add_description(replace(description, comfort=comfort), now, source="")
    return Noted(sentence=f"Wanted from now on: {span_text(*band_c, units=description.units)}.")
