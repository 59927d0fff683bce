"""Lists: as they stand now, a line ticked, the owner's own lines and order kept in the log."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from logbook.actions.house import house_of
from logbook.actions.lines import Noted
from logbook.care.checklists import SHIPPED, own_lines, round_of
from logbook.care.list_conditions import ListFacts
from logbook.care.list_own import OwnLine, back_in, list_text, moved, with_line, without
from logbook.care.list_rounds import line_meant, list_named, usual_list
from logbook.errors import BadInputError
from logbook.house import House
from logbook.matters import Bring, Tick, folded
from logbook.records import Entry, NewEvent
from logbook.results.lists import Condition, ListAnswer, ListLine, ListName, WhyKind
from logbook.setting import Setting
from logbook.store.log import Log
from logbook.wording.lists import placed_text, ticked_text, worded

ALARM_LINES = frozenset({"alarms_at_the_door", "alarms_again", "alarms"})
"""Shipped lines that, once done, are this stay's alarm test."""

OWNERS_CONDITIONS = (
    Condition.FROST,
    Condition.FROST_INSIDE,
    Condition.DROPPINGS,
    Condition.AWAY,
    Condition.FIRST_STAY,
    Condition.GUESTS,
    Condition.WATER,
    Condition.NEST,
    Condition.COALS,
    Condition.ASH,
)
"""What a line of the owner's own may depend on."""

LAST_LINE = "write"
"""The shipped line that closes the leaving and the autumn list; own lines are added before it."""


@dataclass(frozen=True, kw_only=True)
class Lists:
    """What all lists are made from: the log as the whole year sees it, and the owner's own lists as kept."""

    house: House
    kept: Mapping[ListName, str] = field(default_factory=dict)

    @property
    def setting(self) -> Setting:
        """The owner's units and zone."""
        return self.house.setting

    def answer(self, name: ListName, facts: ListFacts | None = None) -> ListAnswer:
        """One list in words."""
        found = round_of(name, self.house, facts, kept=self.kept.get(name))
        return worded(found, setting=self.setting)


def setting_name(name: ListName) -> str:
    """The setting an owner's own list is kept under: "list packing"."""
    return f"list {name}"


def lists_of(log: Log, *, as_of: datetime, read: Sequence[Entry] | None = None) -> Lists:
    """What the lists are made from. The owner's own are those of today, whatever ``as_of`` is.

    ``read`` as for ``house_of``.
    """
    kept = {name: log.setting(setting_name(name)) for name in ListName}
    return Lists(
        house=house_of(log, as_of=as_of, read=read),
        kept={name: text for name, text in kept.items() if text is not None},
    )


def list_now(
    log: Log, name: ListName | str | None, *, now: datetime, facts: ListFacts | None = None
) -> ListAnswer:
    """One list as it stands, without any fit; quick enough for every key.

    Args:
        log: The log.
        name: The list; None: the one wanted at the moment.
        now: As of when.
        facts: What is known besides the log, such as droppings seen just now.

    Raises:
        BadInputError: There is no such list.
    """
    lists = lists_of(log, as_of=now)
    return lists.answer(_named(name, lists.house), facts)


def open_texts(answer: ListAnswer) -> tuple[str, ...]:
    """The lines of a list not done yet, in order, as sentences."""
    return tuple(line.text for line in answer.lines if line.done_at is None)


def left_out_texts(answer: ListAnswer) -> tuple[str, ...]:
    """What an answer says that rests on a list: which safety lines its owner left out of it."""
    names = [line.name for line in answer.left_out if line.applies and line.safety]
    return (f"Left out of the list by you: {', '.join(names)}.",) if names else ()


def tick(log: Log, name: ListName | str, line: str, *, done: bool, now: datetime) -> Noted:
    """Write that a line is done, or left for the next time.

    Args:
        log: The log.
        name: The list.
        line: The line's number, name, text, or words only it has.
        done: False: skipped.
        now: When.

    Raises:
        BadInputError: No line is meant by that, or more than one.
    """
    lists = lists_of(log, as_of=now)
    answer = lists.answer(_named(name, lists.house))
    return tick_line(log, answer, _meant(line, answer), done=done, now=now, zone=lists.setting.zone)


def tick_line(
    log: Log, answer: ListAnswer, meant: ListLine, *, done: bool, now: datetime, zone: str
) -> Noted:
    """The same for a line of a list already made: one transaction, quick enough for a key."""
    if (meant.done_at if done else meant.skipped_at) is not None:
        word = "done" if done else "skipped"
        return Noted(sentence=f"'{meant.name}' is {word} already in this round. Nothing was added.")
    words = f"{'done' if done else 'skip'} {answer.name}: {meant.name}"
    said = Tick(list_name=str(answer.name), line=meant.name, done=done)
    entries = [Entry(at=now, matter=said, alarms_tested=done and meant.key in ALARM_LINES)]
    if done and answer.name is ListName.PACKING and any(w.kind is WhyKind.TO_BRING for w in meant.whys):
        entries.append(Entry(at=now, matter=Bring(item=meant.name, got=True)))
    kept = log.add([NewEvent(entry=entry, zone=zone, line=words) for entry in entries])
    waiting = [other.name for other in answer.open_lines if other.name in meant.before]
    sentence = ticked_text(meant, name=answer.name, done=done, at=now, waiting=waiting, zone=zone)
    return Noted(sentence=sentence, event_ids=tuple(event.uuid for event in kept))


def add_line(
    log: Log,
    name: ListName | str,
    text: str,
    *,
    now: datetime,
    before: str | None = None,
    when: Sequence[str] = (),
) -> Noted:
    """Add a line of the owner's own, before another line or at the end.

    Raises:
        BadInputError: The line has no words or is there already; no such condition; no such line.
    """
    answer = list_now(log, name, now=now)
    put_line(log, answer, text, before=before, when=when)
    words = " ".join(text.split())
    found = list_now(log, answer.name, now=now)
    for n, line in enumerate(found.lines, start=1):
        if line.name == words:
            return Noted(sentence=placed_text(line, n, wanted=None))
    return Noted(sentence=f"Kept for later, it stands in the list when it holds: {', '.join(when)}. {words}")


def put_line(
    log: Log, answer: ListAnswer, text: str, *, before: str | None = None, when: Sequence[str] = ()
) -> None:
    """The same for a list already made; where it stands then is for the next look at the list.

    Raises:
        BadInputError: As ``add_line``.
    """
    conditions = tuple(condition_named(word) for word in when)
    own = _own(log, answer.name)
    _refuse_shipped_name(text, answer, own)
    at = _ident(_meant(before, answer), own) if before else None
    if at is None and own and own[-1].ident == LAST_LINE:
        at = LAST_LINE
    _keep(log, answer.name, with_line(own, text, before=at, when=conditions))


def move_line(log: Log, name: ListName | str, line: str, to: str, *, now: datetime) -> Noted:
    """Put a line in the place of another; where safety sets it later, that is said.

    Raises:
        BadInputError: No such line, or one that stands in the list for this round only.
    """
    answer = list_now(log, name, now=now)
    meant, target = _meant(line, answer), _meant(to, answer)
    own = _own(log, answer.name)
    _keep(log, answer.name, moved(own, _ident(meant, own), to=_ident(target, own)))
    found = list_now(log, answer.name, now=now)
    n, placed = next((n, other) for n, other in enumerate(found.lines, start=1) if _same(other, meant))
    return Noted(sentence=placed_text(placed, n, wanted=answer.lines.index(target) + 1))


def leave_out(log: Log, name: ListName | str, line: str, *, now: datetime) -> Noted:
    """Take a line out of a list for good; a shipped one is named below the list from then on.

    Raises:
        BadInputError: No such line, or one that stands in the list for this round only.
    """
    answer = list_now(log, name, now=now)
    meant = _meant(line, answer)
    own = _own(log, answer.name)
    _keep(log, answer.name, without(own, _ident(meant, own)))
    safety = " It is there for safety, and stays named below the list." if meant.safety else ""
    return Noted(sentence=f"Left out by you: {meant.name}.{safety} undo brings it back.")


def put_back(log: Log, name: ListName | str, line: str, *, now: datetime) -> Noted:
    """Bring a shipped line back that was left out.

    Raises:
        BadInputError: No line of that name was left out.
    """
    answer = list_now(log, name, now=now)
    said = folded(line)
    found = [out for out in answer.left_out if said in (out.name.casefold(), out.key, out.text.casefold())]
    if not found:
        names = ", ".join(out.name for out in answer.left_out) or "none"
        raise BadInputError(f"'{line}' was not left out of {answer.name}.\nLeft out by you: {names}")
    _keep(log, answer.name, back_in(_own(log, answer.name), found[0].key))
    return Noted(sentence=f"Back in {answer.name}: {found[0].name}.")


def condition_named(word: str) -> Condition:
    """The condition an owner names.

    Raises:
        BadInputError: There is none of that name.
    """
    said = folded(word)
    for condition in OWNERS_CONDITIONS:
        if said == condition:
            return condition
    known = ", ".join(str(condition) for condition in OWNERS_CONDITIONS)
    raise BadInputError(f"'{word}' is nothing a line can depend on.\nA line may depend on: {known}")


def _named(name: ListName | str | None, house: House) -> ListName:
    if name is None:
        return usual_list(house)
    return name if isinstance(name, ListName) else list_named(name)


def _meant(words: str, answer: ListAnswer) -> ListLine:
    said = words.strip()
    if said.isdecimal() and 1 <= int(said) <= len(answer.lines):
        return answer.lines[int(said) - 1]
    found = line_meant(said, answer.lines)
    if found is None:
        raise BadInputError(
            f"'{said}' is not one line of {answer.name} ({len(answer.lines)} lines).\n"
            f"Give its number or its name: {', '.join(line.name for line in answer.lines[:4])}, …"
        )
    return found


def _own(log: Log, name: ListName) -> tuple[OwnLine, ...]:
    return own_lines(name, log.setting(setting_name(name)))


def _ident(line: ListLine, own: Sequence[OwnLine]) -> str:
    """What a line is kept under in the owner's list.

    Raises:
        BadInputError: It stands in the list for this round only.
    """
    ident = line.key or line.name
    if all(kept.ident != ident for kept in own):
        raise BadInputError(
            f"'{line.name}' stands in this list for this round only.\n"
            f'Tick it, or keep it in the list: --add "{line.name}"'
        )
    return ident


def _refuse_shipped_name(text: str, answer: ListAnswer, own: Sequence[OwnLine]) -> None:
    """A line of that name stands there already: a tick would not say which of the two is meant."""
    said = folded(text)
    out = {line.ident for line in own if line.out}
    if any(line.name.casefold() == said and line.key not in out for line in SHIPPED[answer.name]):
        raise BadInputError(
            f"'{said}' is in this list already, as a line that comes with it.\n"
            f'Leave that one out first: --out "{said}"; or call yours otherwise.'
        )


def _same(one: ListLine, other: ListLine) -> bool:
    return (one.key or one.name) == (other.key or other.name)


def _keep(log: Log, name: ListName, lines: Sequence[OwnLine]) -> None:
    log.set_setting(setting_name(name), list_text(lines))
