"""The account of every stack, kg of dry wood: put up, added to, counted again, burned.

All stacks are followed together through time, for wood of an unknown kind is shared out by what then lay in
each. A count holds from its own time on; what was reckoned before it stays as it was. Nothing falls below 0:
what was written as burned beyond what was there is kept apart and said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache

from logbook.care.wood_amounts import (
    BURNED_LOG_SD,
    NOTHING,
    Kind,
    around,
    dry_kg,
    exactly,
    less,
    over,
    plainly,
    stacked_dry_kg_per_m3,
    times,
    weighed_kg,
)
from logbook.house import House
from logbook.matters import Stack, StackCount, folded
from logbook.results.night import Range
from logbook.results.woodshed import Counted, Overdrawn, Unplaced

WetAt = Callable[[str, datetime], Range]
"""Moisture of a stack, by its key, at a time, % dry basis."""

MIXED_WORDS = frozenset({"", "mixed", "wood", "any", "unknown"})
"""Words for a kind that say nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """One stack at a time. ``had`` is dry kg when last put up, added to or counted; ``burned`` since then,
    dry, and as weighed. ``added`` is when more was last put on what was there.

    ``per_m3`` is dry kg in a stacked m³; ``volume_known`` tells whether it was ever given by volume.
    """

    key: str
    put_up: datetime
    newest: Stack
    kind: Kind
    per_m3: Range
    known: bool = True
    volume_known: bool = True
    had: Range = NOTHING
    had_m3: Range = NOTHING
    since: datetime | None = None
    added: datetime | None = None
    burned: float = 0.0
    burned_weighed: float = 0.0
    burned_weighed_in_all: float = 0.0
    counted: Counted | None = None
    overdrawn: Overdrawn | None = None

    @property
    def left(self) -> Range:
        """Dry wood left, kg."""
        if self.had.p95 <= 0.0:
            return NOTHING  # as of most stacks of a long log
        return _left(self.had, self.burned)

    @property
    def left_m3(self) -> Range | None:
        """Volume left as it would be stacked, m³; None where it was never given by volume."""
        if not self.volume_known or not self.known:
            return None
        return less(self.had_m3, over(_gone(self.burned), self.per_m3))


@dataclass(frozen=True, slots=True)
class Shed:
    """All accounts in the order the stacks were put up, and wood burned that is from none of them, kg."""

    accounts: tuple[Account, ...]
    unplaced: tuple[Unplaced, ...]


@dataclass(frozen=True, slots=True)
class _Happening:
    """Something that changes an account; sorted by time, then so that the order of writing never matters."""

    at: datetime
    rank: int
    order: tuple[str, float]
    what: Stack | StackCount | tuple[str, float, float, bool]


def shed_of(house: House, *, kinds: Mapping[str, Kind], wet_at: WetAt) -> Shed:
    """Every stack as of the house's time.

    Args:
        house: The log as of a time.
        kinds: What is known of each kind, by the text it was written as.
        wet_at: Moisture of a stack at a time: for amounts by mass, and to say amounts as weighed.
    """
    accounts: dict[str, Account] = {}
    nowhere: dict[str, float] = {}
    keys = keys_of(house)
    fitting: dict[tuple[str, bool], tuple[str, ...]] = {}
    for happening in _happenings(house):
        what = happening.what
        if isinstance(what, Stack | StackCount):
            fitting = {}  # between them no load changes what kinds of wood there are
        if isinstance(what, Stack):
            key = folded(what.name)
            accounts[key] = _put_up(accounts.get(key), what, at=happening.at, kinds=kinds, wet_at=wet_at)
        elif isinstance(what, StackCount):
            key = resolved(what.name, keys)
            accounts[key] = _counted(accounts.get(key), what, at=happening.at, kinds=kinds, wet_at=wet_at)
        elif accounts:
            species, kg, kg_dry, said = what
            if (species, said) not in fitting:
                fitting[species, said] = _fitting(accounts, kinds[species], species=species, said=said)
            shares = _shares({key: accounts[key] for key in fitting[species, said]})
            if not shares:
                nowhere[species] = nowhere.get(species, 0.0) + kg
            for key, share in shares.items():
                accounts[key] = _burn(
                    accounts[key], kg * share, kg_dry * share, at=happening.at, wet_at=wet_at
                )
    ordered = sorted(accounts.values(), key=lambda a: (a.put_up, a.key))
    return Shed(tuple(ordered), tuple(Unplaced(species=s, kg=kg) for s, kg in sorted(nowhere.items())))


def keys_of(house: House) -> frozenset[str]:
    """The keys of all stacks put up."""
    return frozenset(folded(stack.name) for _, stack in house.of(Stack))


def resolved(name: str, keys: Iterable[str]) -> str:
    """The stack a name means: the one of that name, else the only one whose name holds all its words."""
    key = folded(name)
    known = sorted(keys)
    if key in known:
        return key
    longer = [other for other in known if set(key.split()) <= set(other.split())]
    return longer[0] if len(longer) == 1 else key


def kind_text(stack: Stack) -> str:
    """The text that says what wood a stack is."""
    return stack.species or stack.name


def _happenings(house: House) -> Iterator[_Happening]:
    said = {e.at for e in house.entries if e.load_kg and e.species}
    found = [
        _Happening(at, 0, (folded(stack.name), stack.volume_m3 or stack.mass_kg or 0.0), stack)
        for at, stack in house.of(Stack)
    ]
    found += [
        _Happening(at, 1, (folded(count.name), count.volume_m3 or count.mass_kg or 0.0), count)
        for at, count in house.of(StackCount)
    ]
    found += [
        _Happening(b.at, 2, (b.species, b.kg_dry), (b.species, b.kg, b.kg_dry, b.at in said))
        for b in house.burned
    ]
    yield from sorted(found, key=lambda h: (h.at, h.rank, h.order))


def _put_up(
    was: Account | None,
    stack: Stack,
    *,
    at: datetime,
    kinds: Mapping[str, Kind],
    wet_at: WetAt,
) -> Account:
    """A new account, or one added to: what was left and what came, off together for they are alike."""
    kind = kinds[kind_text(stack)]
    per_m3 = stacked_dry_kg_per_m3(kind, as_said=stack.as_said, loose=stack.loose)
    came = _dry(stack.volume_m3, stack.mass_kg, per_m3=per_m3, wet=wet_at(folded(stack.name), at))
    fresh = Account(
        key=folded(stack.name), put_up=at, newest=stack, kind=kind, per_m3=per_m3, known=came is not None,
        volume_known=stack.volume_m3 is not None, had=came or NOTHING, since=at,
        had_m3=exactly(max(0.0, stack.volume_m3 or 0.0)),
    )  # fmt: skip
    if was is None or (was.known and was.left.p95 <= 0.0):
        return fresh if was is None else replace(fresh, burned_weighed_in_all=was.burned_weighed_in_all)
    return replace(
        was,
        newest=stack,
        known=was.known and fresh.known,
        volume_known=was.volume_known and fresh.volume_known,
        had=plainly((was.left, fresh.had)),
        had_m3=plainly((was.left_m3 or NOTHING, fresh.had_m3)),
        since=at,
        added=at,
        burned=0.0,
        burned_weighed=0.0,
    )


def _counted(
    was: Account | None,
    count: StackCount,
    *,
    at: datetime,
    kinds: Mapping[str, Kind],
    wet_at: WetAt,
) -> Account:
    """The account from a count on; a stack nobody put up begins with its count."""
    wet = wet_at(was.key if was else folded(count.name), at)
    if was is None:
        stack = Stack(
            name=count.name, volume_m3=count.volume_m3, mass_kg=count.mass_kg, as_said=count.as_said
        )
        was = _put_up(None, stack, at=at, kinds=kinds, wet_at=wet_at)
        now = was.had
        return replace(was, counted=_said(at, count, now, wet=wet))
    now = _dry(count.volume_m3, count.mass_kg, per_m3=was.per_m3, wet=wet) or NOTHING
    said = _said(at, count, now, wet=wet)
    if was.known:
        reckoned_kg = weighed_kg(dry_kg=was.left, moisture_dry_pct=wet)
        reckoned_m3 = was.left_m3
        if reckoned_m3 is not None and count.volume_m3 is not None:
            agrees = reckoned_m3.p05 <= count.volume_m3 <= reckoned_m3.p95
            missing = (reckoned_m3.p50 - count.volume_m3) * was.per_m3.p50 * (1.0 + wet.p50 / 100.0)
        else:
            agrees = said.counted_kg.p05 <= reckoned_kg.p95 and reckoned_kg.p05 <= said.counted_kg.p95
            missing = reckoned_kg.p50 - said.counted_kg.p50
        said = replace(
            said, reckoned_m3=reckoned_m3, reckoned_kg=reckoned_kg, agrees=agrees, more_went_kg=missing
        )
    return replace(
        was,
        known=True,
        volume_known=count.volume_m3 is not None,
        had=now,
        had_m3=exactly(max(0.0, count.volume_m3 or 0.0)),
        since=at,
        burned=0.0,
        burned_weighed=0.0,
        counted=said,
        overdrawn=None,
    )


def _said(at: datetime, count: StackCount, now: Range, *, wet: Range) -> Counted:
    kg = weighed_kg(dry_kg=now, moisture_dry_pct=wet)
    return Counted(at=at, counted_m3=count.volume_m3, counted_kg=kg)


def _burn(account: Account, kg: float, kg_dry: float, *, at: datetime, wet_at: WetAt) -> Account:
    """Dry wood taken off. What was there at the most and is burned beyond it is said, not owed."""
    burned = account.burned + kg_dry
    after = replace(
        account,
        burned=burned,
        burned_weighed=account.burned_weighed + kg,
        burned_weighed_in_all=account.burned_weighed_in_all + kg,
    )
    if not account.known or account.since is None:
        return after
    if account.had.p95 - _gone(burned).p05 >= 0.0:
        return after
    wet = wet_at(account.key, at)
    there = weighed_kg(dry_kg=account.had, moisture_dry_pct=wet)
    return replace(
        after, overdrawn=Overdrawn(since=account.since, burned_kg=after.burned_weighed, there_kg=there)
    )


def _fitting(accounts: Mapping[str, Account], kind: Kind, *, species: str, said: bool) -> tuple[str, ...]:
    """Which stacks a load may be taken from, by their keys; empty where it is from none.

    A kind that matches goes to the stacks of it. One that says nothing, or that stands only in the
    description, goes to all ("hardwood" to those that may be hardwood). One written with the load that no
    stack has goes to stacks of an unknown kind; where there is none it came from elsewhere.
    """
    fit = {key: a for key, a in accounts.items() if _same_wood(a, kind, species=species)}
    silent = species.casefold().strip() in MIXED_WORDS or not kind.known
    if not fit:
        fit = {key: a for key, a in accounts.items() if silent or not said or not a.kind.known}
        alike = {key: a for key, a in fit.items() if a.kind.softwood in (kind.softwood, None)}
        fit = alike if silent and kind.softwood is not None and alike else fit
    return tuple(fit)


def _shares(fit: Mapping[str, Account]) -> dict[str, float]:
    """By what shares a load is taken from the stacks it may be from."""
    left = {key: a.left if a.known else None for key, a in fit.items()}
    have = {key: kg.p50 if kg else 0.0 for key, kg in left.items()}
    if sum(have.values()) <= 0.0:
        have = {key: kg.p95 if kg else 1.0 for key, kg in left.items()}
    total = sum(have.values())
    if total <= 0.0:
        newest = sorted(fit, key=lambda key: (fit[key].since or fit[key].put_up, key))[-1:]
        return dict.fromkeys(newest, 1.0)
    return {key: kg / total for key, kg in have.items() if kg > 0.0}


def _same_wood(account: Account, kind: Kind, *, species: str) -> bool:
    words = _words(species)
    if not words:
        return False
    kind_words = _words(kind_text(account.newest))
    if account.kind.known and kind_words and kind_words <= words:
        return True
    same_kind = kind.known and account.kind.known and kind.name == account.kind.name
    return same_kind or words <= set(account.key.split()) | kind_words


@lru_cache(maxsize=256)  # a load changes the stacks it is from; what lies in the others is asked again
def _left(had: Range, burned_kg: float) -> Range:
    return less(had, _gone(burned_kg))


@lru_cache(maxsize=256)
def _words(text: str) -> frozenset[str]:
    return frozenset(text.casefold().split()) - MIXED_WORDS


def _dry(volume_m3: float | None, mass_kg: float | None, *, per_m3: Range, wet: Range) -> Range | None:
    """Dry wood in an amount as written, kg; by mass where there is one."""
    if mass_kg is not None:
        return dry_kg(weighed=max(0.0, mass_kg), moisture_dry_pct=wet)
    return None if volume_m3 is None else times(exactly(max(0.0, volume_m3)), per_m3)


def _gone(burned_kg: float) -> Range:
    return around(burned_kg, log_sd=BURNED_LOG_SD) if burned_kg > 0.0 else NOTHING
