"""Rows found in a damaged log, put together to events again.

One event lies in pieces: its row, its entry, what was typed, its device's and batch's names. Every piece may
be there in several versions or not at all; a digest that is right tells which belong together.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import islice, product

from logbook.records import Act
from logbook.store.digest import EVENT_NAMES, EntryShape, Held, unsealed
from logbook.store.pages import Found
from logbook.store.rows import Row
from logbook.store.schema import columns_of
from logbook.store.soundness import told, unreadable

_ACTS = frozenset(Act)
_UUID, _DEVICE, _COUNTER, _BATCH, _ACT, _ROOT, _SUPERSEDES, _TARGET = range(8)
"""Where these stand in a row of EVENT_NAMES."""

_EVENT_WIDTH = 14
"""Columns of an event in formats 1 and 2, the key included; format 3 has its digest after them."""

_MOST_TRIES = 400
"""How many ways of putting one event together are tried. ASSUMED: a page found twice doubles a piece."""

_ENTRY = columns_of("entry")[1:]
_FIRST_ENTRY_WIDTH = len(_ENTRY) - 1
"""In format 1, which had no matters."""

_SEVERAL = 3
"""Events of one device, none of them whole, that show its name to be lost. ASSUMED."""

_LOST = "lost with "
"""Begins the name given to a device or an act whose own is lost."""

_TIME_WIDTH = len("2026-01-16T20:00:00.000000Z")


def _is_time(value: object) -> bool:
    return isinstance(value, str) and len(value) == _TIME_WIDTH and value[10] == "T" and value[-1] == "Z"


@dataclass
class Pieces:
    """All rows found, by what they are and which event they belong to."""

    events: dict[int, list[Row]] = field(default_factory=lambda: defaultdict(list))
    entries: dict[int, list[Row]] = field(default_factory=lambda: defaultdict(list))
    typed: dict[int, dict[int, list[Row]]] = field(default_factory=lambda: defaultdict(dict))
    descriptions: dict[int, list[Row]] = field(default_factory=lambda: defaultdict(list))
    settings: dict[int, list[Row]] = field(default_factory=lambda: defaultdict(list))
    names: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    """Of devices and batches, which look alike."""
    devices: dict[int, list[str]] = field(default_factory=dict)
    batches: dict[int, list[str]] = field(default_factory=dict)
    """The same told apart, where SQLite could still read them."""
    info: dict[str, str] = field(default_factory=dict)
    digests: bool = False

    @cached_property
    def shape(self) -> EntryShape:
        """The columns of entries in the order a file of this program has them, and which are real numbers."""
        return EntryShape([name for name, _ in _ENTRY])

    def take(self, rows: Iterable[Found]) -> None:
        """Sort rows to what they are; what is nothing of a log is left aside."""
        for found in rows:
            values = found.values
            if found.key is None:
                self._take_indexed(values)
            elif values[0] is None:
                self._take_row(found.key, values[1:])

    def _take_indexed(self, values: Row) -> None:
        kinds = tuple(map(type, values))
        if kinds == (str, int) and not _is_time(values[0]):
            self._take_name(values[1], values[0])
        elif kinds == (str, str):
            self.info.setdefault(*values)
        elif kinds == (int, int, str, str, str):
            _once(self.typed[values[0]].setdefault(values[1], []), values[1:])

    def _take_row(self, key: int, row: Row) -> None:
        width = len(row)
        if width == 1 and isinstance(row[0], str):
            self._take_name(key, row[0])
        elif width == 2 and isinstance(row[1], str) and (row[0] is None or _is_time(row[0])):
            _once(self.descriptions[key], row)
        elif width == 2 and isinstance(row[0], str) and isinstance(row[1], str):
            _once(self.settings[key], row)
        elif width >= _FIRST_ENTRY_WIDTH and _is_time(row[0]):
            _once(self.entries[key], self._entry(row))
        elif _EVENT_WIDTH - 1 <= width <= _EVENT_WIDTH and row[3 + 1] in _ACTS:
            digest = row[_EVENT_WIDTH - 1] if width == _EVENT_WIDTH else None
            self.digests |= digest is not None
            _once(self.events[key], (digest, *row[: _EVENT_WIDTH - 1]))

    def _take_name(self, number: int, name: str) -> None:
        if name.isprintable():  # half overwritten it names nothing
            _once(self.names[number], name)

    def _entry(self, row: Row) -> Row:
        """As SQLite gives it: columns a row was written without are NULL, whole reals are no integers."""
        full = (*row, *[None] * (len(_ENTRY) - len(row)))[: len(_ENTRY)]
        return tuple(
            float(value) if kind == "REAL" and isinstance(value, int) else value
            for (_, kind), value in zip(_ENTRY, full, strict=True)
        )

    def nameless(self, whole: Iterable[Held]) -> list[Held]:
        """The events of which all is there but the name of their device or their act: it gets another.

        They cannot be proved. One whose names are known and which is not whole is damaged, and left out.
        """
        proved = list(whole)
        lost = _Lost(self, proved)
        found = []
        for key in sorted(self.events.keys() - {held.key for held in proved}):
            _, uuid, device, _, batch, *_ = self.events[key][0]
            names = lost.device(device, uuid), lost.batch(batch, uuid)
            if None in names or not any(str(name).startswith(_LOST) for name in names):
                continue
            for held in islice(self._ways(key, named=names), 1):
                if self._is_whole(named := replace(held, digest=held.computed(self.shape))):
                    found.append(named)
        return found

    def whole_events(self) -> Iterator[Held]:
        """The events that are whole, each once, by key."""
        for key in sorted(self.events):
            for batches_of in (self._batches_of, lambda _: self._spoken_of):
                ways = islice(self._ways(key, batches_of=batches_of), _MOST_TRIES)
                if (held := next(filter(self._is_whole, ways), None)) is not None:
                    yield held
                    break

    def _is_whole(self, held: Held) -> bool:
        if self.digests and held.digest != held.computed(self.shape):
            return False
        act = held.event[_ACT]
        has = (held.entry is not None, held.description is not None, held.setting is not None)
        due = (act in (Act.RECORD, Act.EDIT), act == Act.DESCRIBE, act == Act.SETTING)
        return has == due and unreadable(held, self.shape) is None

    def _ways(
        self,
        key: int,
        *,
        named: tuple[str | None, str | None] | None = None,
        batches_of: Callable[[int], Sequence[str]] = lambda _: (),
    ) -> Iterator[Held]:
        """The ways in which the pieces of one event go together; ``named`` are its device and its batch."""
        typed = [self.typed[key][at] for at in sorted(self.typed[key])] if key in self.typed else []
        for (digest, *row), entry, description, setting, parts in product(
            self.events[key],
            _or_none(self.entries.get(key)),
            _or_none(self.descriptions.get(key)),
            _or_none(self.settings.get(key)),
            list(product(*typed)),
        ):
            act = row[4]
            pairs = [named] if named else product(self._devices_of(row[1]), batches_of(row[3]))
            for device, batch in pairs:
                yield Held(
                    key=key,
                    digest=digest,
                    event=(row[0], device, row[2], batch, *row[4:]),
                    entry=entry if act in (Act.RECORD, Act.EDIT) else None,
                    typed=parts,
                    description=description if act == Act.DESCRIBE else None,
                    setting=setting if act == Act.SETTING else None,
                )

    def _devices_of(self, number: int) -> list[str]:
        """The names a device of this number may have, the likeliest first: a digest tells which is right."""
        return _each([*self.devices.get(number, ()), *self.names.get(number, ()), *self._own_names])

    @cached_property
    def _own_names(self) -> list[str]:
        """What the file kept for itself: the name of the machine that began it, plain and sealed."""
        plain, sealed = self.info.get("device"), self.info.get("kept:device")
        return [*([plain] if plain else ()), *([unsealed("device", sealed)[0]] if sealed else ())]

    def _batches_of(self, number: int) -> list[str]:
        """The same of an act."""
        return _each([*self.batches.get(number, ()), *self.names.get(number, ())])

    @cached_property
    def _spoken_of(self) -> list[str]:
        """Names of acts that an undo speaks of: one whose own name is lost may have one of them."""
        targets = (row[1 + _TARGET] for rows in self.events.values() for row in rows)
        return _each(str(target) for target in targets if target is not None)

    def rest(self, kept: Collection[int]) -> list[tuple[str, str, str]]:
        """What is left of all other events, piece by piece: what it is, its event's key, and what it says."""
        pieces = {
            "event": self.events,
            "entry": self.entries,
            "typed": {key: [row for rows in by.values() for row in rows] for key, by in self.typed.items()},
            "description": self.descriptions,
            "setting": self.settings,
        }
        columns = {
            "event": ("digest", *EVENT_NAMES),
            "entry": self.shape.columns,
            "typed": ("position", "name", "text", "unit"),
            "description": ("valid_from", "toml"),
            "setting": ("name", "value"),
        }
        rest = []
        for what, by_key in pieces.items():
            for key in sorted(by_key.keys() - set(kept)):
                for row in by_key[key]:
                    said = {
                        name: value.hex() if isinstance(value, bytes) else value
                        for name, value in zip(columns[what], row, strict=True)
                        if value is not None
                    }
                    rest.append((what, str(key), json.dumps(said, ensure_ascii=True)))
        return rest

    def left_out(self, kept: Collection[int]) -> tuple[str, ...]:
        """In a few words each event of which the row was found but which is not whole."""
        return tuple(
            told(Held(key, None, tuple(rows[0][1:]), None, (), None, None))
            for key, rows in sorted(self.events.items())
            if key not in kept
        )

    def gone(self, kept: Collection[int]) -> int:
        """How many events there must have been of which no row was found: keys count on without a gap."""
        return sum(key not in self.events for key in range(1, max(kept) + 1))


class _Lost:
    """Names for devices and acts whose own are lost, the same for all events of one."""

    def __init__(self, pieces: Pieces, proved: Sequence[Held]) -> None:
        self._pieces = pieces
        first = {key: rows[0] for key, rows in pieces.events.items()}
        self._devices = {first[held.key][1 + _DEVICE]: str(held.event[_DEVICE]) for held in proved}
        self._batches = {first[held.key][1 + _BATCH]: str(held.event[_BATCH]) for held in proved}
        self._others = {held.event[_UUID] for held in proved} | {row[1 + _UUID] for row in first.values()}
        self._others |= {row[0] for rows in pieces.settings.values() for row in rows}
        self._others |= set(self._devices.values())
        self._of_device = Counter(row[1 + _DEVICE] for row in first.values())

    def device(self, number: int, uuid: str) -> str | None:
        """A device's name; None where it is known and yet proves nothing, so that the event is damaged.

        Of several events none is whole by a name that may be this device's or an act's: it is not this one's.
        """
        told_apart = number in self._pieces.devices
        if number not in self._devices and (
            not self._left(number) or (not told_apart and self._of_device[number] >= _SEVERAL)
        ):
            self._devices[number] = _LOST + uuid
        return self._devices.get(number)

    def batch(self, number: int, uuid: str) -> str | None:
        """An act's name. Where the device's is lost as well nothing can prove it: the only one there is."""
        left = self._left(number)
        if number not in self._batches and not left:
            self._batches[number] = _LOST + uuid
        return self._batches.get(number) or (left[0] if len(left) == 1 else None)

    def _left(self, number: int) -> list[str]:
        """Names found under a number, less those of events and what the event of this number speaks of."""
        by_key = self._pieces.events, self._pieces.entries
        spoken = {cell for rows in by_key for row in rows.get(number, ()) for cell in row}
        names = self._pieces.names.get(number, ())
        return [name for name in names if name not in self._others and name not in spoken]


def joined(events: Iterable[Held], shape: EntryShape) -> tuple[list[Held], int]:
    """Events whose references all lead to one of them, and how many had one changed for that.

    An edit whose predecessor is lost follows the first of its chain. Where that is lost too, the last edit of
    the chain becomes an entry of its own; the earlier ones and removals go. Changed ones have new digests.
    """
    by_uuid = {held.event[_UUID]: held for held in events}
    undone = _undone(by_uuid.values())
    orphans: dict[str, list[Held]] = defaultdict(list)
    kept: list[Held] = []
    mended = 0
    for held in by_uuid.values():
        root = held.event[_ROOT]
        if root is not None and root not in by_uuid:
            orphans[root].append(held)
            continue
        if root is not None and held.event[_SUPERSEDES] not in by_uuid:
            held, mended = _changed(held, shape, {_SUPERSEDES: root}), mended + 1  # noqa: PLW2901 - the same one
        kept.append(held)
    for chain in orphans.values():
        last = max(chain, key=lambda held: (held.event[_BATCH] not in undone, *_order(held)))
        if last.event[_ACT] == Act.EDIT:
            kept.append(_changed(last, shape, {_ACT: str(Act.RECORD), _ROOT: None, _SUPERSEDES: None}))
            mended += 1
    return sorted(kept, key=lambda held: held.key), mended


def _order(held: Held) -> tuple[object, ...]:
    return held.event[_COUNTER], held.event[_DEVICE], held.event[_UUID]


def _undone(events: Iterable[Held]) -> set[str]:
    turns = sorted((held for held in events if held.event[_TARGET] is not None), key=_order)
    last = {held.event[_TARGET]: held.event[_ACT] for held in turns}
    return {batch for batch, act in last.items() if act == Act.UNDO}


def _changed(held: Held, shape: EntryShape, values: dict[int, str | None]) -> Held:
    event = tuple(values.get(at, value) for at, value in enumerate(held.event))
    changed = replace(held, event=event)
    return replace(changed, digest=changed.computed(shape))


def _or_none(rows: list[Row] | None) -> list[Row | None]:
    return [*rows] if rows else [None]


def _each(names: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(names))


def _once(into: list[Row] | list[str], value: object) -> None:
    if value not in into:
        into.append(value)  # type: ignore[arg-type]
