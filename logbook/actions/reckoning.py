"""What the log tells at a time, what is learned from it, and the forecast of a night from both.

Nothing learned is part of the log: it is kept in a cache under a key made of the model's version, the
descriptions and the entries used. A fit of the same log an evening ago is where the next one starts, which
saves most of its time: the answer is the same as from nothing to within the luck of its draws.
"""

from __future__ import annotations

import hashlib
import struct
import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import datetime, timedelta
from functools import cached_property
from io import BytesIO
from operator import attrgetter
from tokenize import TokenError
from typing import TYPE_CHECKING, Protocol, TypeVar
from zipfile import BadZipFile
from zoneinfo import ZoneInfo

from logbook.actions.left_out import believed_tonight, learned_from, left_out
from logbook.errors import LogFileError, NoDescriptionError
from logbook.heat.versions import description_at
from logbook.records import DatedDescription, Description, Entry, Flag
from logbook.setting import YEARS, Setting, setting_of
from logbook.store.bounded import LOGGER_ROWS, entries_bounded
from logbook.store.log import Log
from logbook.store.loggers import thinned

if TYPE_CHECKING:
    import numpy as np

    from logbook.heat.fit import Posterior
    from logbook.heat.night import Base, Evening, Paths
    from logbook.matters import DayWeather
    from logbook.results.app import Between

ROUGH_EVERY = 4
"""A rough look takes every fourth draw: a quarter of the time, and chances still good to 5 in 100."""

MOST_ALONE = 40
"""Plans run alone that are kept with a forecast, 100 kB each. ASSUMED: more than an evening tries."""

T = TypeVar("T")

LONGEST_STAY = timedelta(days=21)
"""How far back the stay going on may have begun; the heat model cuts longer ones into pieces of 14 days."""

_values_of = attrgetter(*(f.name for f in fields(Entry) if f.name not in ("matter", "flags")))


class Blobs(Protocol):
    """Where bytes are kept by key; ``store.cache.LearnedCache``."""

    def get(self, key: str) -> bytes | None:
        """What is kept under a key, if anything."""

    def put(self, key: str, blob: bytes) -> None:
        """Keep something under a key."""


_SPOILT = (
    ValueError, TypeError, LookupError, OverflowError, OSError, EOFError, SyntaxError, TokenError,
    NotImplementedError, BadZipFile, zlib.error, struct.error,
)  # fmt: skip
"""What reading an archive of arrays raises, by where a byte is wrong: an array's head is read as Python."""


@dataclass(frozen=True, slots=True)
class Cache:
    """Learned arrays kept by key; losing them costs only time."""

    blobs: Blobs

    def get(self, key: str) -> dict[str, np.ndarray] | None:
        """The arrays kept under a key, if any and whole."""
        import numpy as np  # noqa: PLC0415 - loaded when it is needed

        blob = self.blobs.get(_name(key))
        if blob is None:
            return None
        try:
            with np.load(BytesIO(blob), allow_pickle=False) as arrays:
                return dict(arrays)
        except _SPOILT:
            return None  # spoilt: the work is done again

    def read(self, key: str, by: Callable[[dict[str, np.ndarray]], T]) -> T | None:
        """What ``by`` makes of the arrays kept under a key; None where they are not those it needs."""
        kept = self.get(key)
        try:
            return None if kept is None else by(kept)
        except _SPOILT:
            return None

    def put(self, key: str, arrays: Mapping[str, np.ndarray]) -> None:
        """Keep arrays under a key."""
        import numpy as np  # noqa: PLC0415 - loaded when it is needed

        blob = BytesIO()
        np.savez(blob, allow_pickle=False, **arrays)
        self.blobs.put(_name(key), blob.getvalue())


def _name(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()


@dataclass(frozen=True, kw_only=True)
class Known:
    """What the log tells as of a time: later entries and descriptions don't exist.

    ``weather`` are the days typed by hand, each with when it was said, ``matters`` the entries that tell of
    ash, upkeep, stacks and lists; nothing is learned from either.
    """

    as_of: datetime
    entries: tuple[Entry, ...]
    descriptions: tuple[DatedDescription, ...]
    weather: tuple[tuple[datetime, DayWeather], ...] = ()
    matters: tuple[Entry, ...] = ()
    left_out: tuple[Between, ...] = ()
    """Spans whose readings of the room are not learned from."""
    read: tuple[Entry, ...] | None = field(default=None, repr=False, compare=False)
    """All that was read, in the order written: what asks about the house too need not read it again."""

    @cached_property
    def key(self) -> str:
        """Its fingerprint, worked out once: it goes through every entry."""
        return _fingerprint(self)

    @property
    def learned_from(self) -> tuple[Entry, ...]:
        """The entries as they are learned from: without the room's readings of what is left out."""
        return learned_from(self.entries, self.left_out)

    @property
    def description(self) -> Description:
        """The description that holds."""
        return description_at(self.descriptions, self.as_of).description

    @property
    def zone(self) -> ZoneInfo:
        """The site's zone."""
        return ZoneInfo(self.description.site.timezone)

    @property
    def setting(self) -> Setting:
        """The owner's units and zone, for wording."""
        return setting_of(self.description)

    @property
    def recent(self) -> tuple[Entry, ...]:
        """The entries that can belong to the stay going on."""
        return tuple(believed_tonight(e) for e in self.entries if self.as_of - e.at <= LONGEST_STAY)

    def before(self, at: datetime) -> Known:
        """The same log as it was known at an earlier time."""
        return replace(
            self,
            as_of=at,
            entries=tuple(e for e in self.entries if e.at <= at),
            descriptions=_described_by(self.descriptions, at),
            weather=tuple((said_at, day) for said_at, day in self.weather if said_at <= at),
            matters=tuple(e for e in self.matters if e.at <= at),
            read=None,
        )


def known(log: Log, *, as_of: datetime, logger_rows: int = LOGGER_ROWS) -> Known:
    """What the log tells as of a time; a logging thermometer's rows thinned to one in ten minutes, and of
    more than ``logger_rows`` the newest (``store.bounded``).

    Ash, upkeep, stacks and lists are left out: nothing of the night follows from them, and what was learned
    must not be thrown away for a ticked line.

    Raises:
        NoDescriptionError: There is no description at all.
        LogFileError: An entry lies outside of all years a time may lie in.
    """
    descriptions = log.descriptions()
    if not descriptions:
        raise NoDescriptionError(
            "This log has no description of the cabin and stove yet.\n"
            "Print an example with  nightload setup --example , change it, then  nightload setup FILE.toml"
        )
    entries = entries_bounded(log, as_of, logger_rows=logger_rows)
    _in_our_years(entries)
    return Known(
        as_of=as_of,
        entries=thinned(entry for entry in entries if not entry.is_matter_alone),
        descriptions=_described_by(descriptions, as_of),
        weather=_weather_typed([entry for entry in entries if entry.matter is not None]),
        matters=tuple(entry for entry in entries if entry.matter is not None),
        left_out=left_out(log),
        read=entries,
    )


def _in_our_years(entries: Sequence[Entry]) -> None:
    """No line and no table can say such a time; reckoning fails at the ends of the calendar."""
    odd = next((entry.at for entry in entries if not YEARS[0] <= entry.at.year <= YEARS[1]), None)
    if odd is not None:
        raise LogFileError(
            f"An entry in the log is of {odd:%Y-%m-%d}; times go from {YEARS[0]} to {YEARS[1]}.\n"
            "Leave it out: nightload events shows its identifier, nightload remove ID."
        )


def _weather_typed(with_matters: Sequence[Entry]) -> tuple[tuple[datetime, DayWeather], ...]:
    """The days of weather among entries with a matter."""
    if not with_matters:
        return ()
    from logbook.matters import DayWeather  # noqa: PLC0415 - most logs' first screens need no matters

    return tuple((e.at, e.matter) for e in with_matters if isinstance(e.matter, DayWeather))


def _described_by(descriptions: Sequence[DatedDescription], at: datetime) -> tuple[DatedDescription, ...]:
    """The versions that existed by then; the first one stands for all time before it."""
    held = tuple(d for d in descriptions if d.valid_from is None or d.valid_from <= at)
    return held or (description_at_start(descriptions),)


def description_at_start(descriptions: Sequence[DatedDescription]) -> DatedDescription:
    """The earliest version."""
    return min(descriptions, key=lambda d: (d.valid_from is not None, str(d.valid_from)))


def fingerprint(told: Known) -> str:
    """A key for everything learned from what is known; stable across runs and machines."""
    return told.key


def _fingerprint(told: Known) -> str:
    from logbook.heat.fit import MODEL_VERSION  # noqa: PLC0415 - the model is loaded when it is needed

    digest = hashlib.sha256(f"model {MODEL_VERSION}".encode())
    for version in told.descriptions:
        digest.update(f"|{version.description!r} {version.valid_from}".encode())
    for entry in told.entries:
        digest.update(f"|{_values_of(entry)}{sorted(entry.flags)}".encode())
    if any(Flag.ODD_VALUE in entry.flags for entry in told.entries):
        digest.update(b"|odd ones not learned from")  # they were, by the first version of this
    for span in told.left_out:
        if span.start <= told.as_of:
            digest.update(f"|out {span.start.isoformat()} {span.end.isoformat()}".encode())
    return digest.hexdigest()


def fit_before(told: Known, cache: Cache) -> Posterior | None:
    """The fit kept last of this log, if the log has only gone on since: nothing in it was changed."""
    from logbook.heat.fit import Posterior  # noqa: PLC0415 - loaded when it is needed

    last = cache.read(_last_key(told), lambda kept: (int(kept["entries"]), str(kept["fingerprint"])))
    if last is None or last[0] > len(told.entries):
        return None
    key = fingerprint(replace(told, entries=told.entries[: last[0]]))
    return cache.read(key, Posterior.from_arrays) if key == last[1] else None


def _last_key(told: Known) -> str:
    """Where the name of the last fit is kept: one for each log, as its descriptions tell it from others."""
    return fingerprint(replace(told, entries=(), left_out=())) + " last"


def posterior_of(told: Known, *, cache: Cache | None = None) -> Posterior:
    """What is learned of cabin and stove; a second or two, half a second where a fit of the evening before is
    kept, or a few milliseconds where this one is."""
    import numpy as np  # noqa: PLC0415 - loaded when it is needed

    from logbook.heat.fit import Posterior, learn  # noqa: PLC0415 - loaded when it is needed

    key = fingerprint(told)
    kept = cache.read(key, Posterior.from_arrays) if cache else None
    if kept is not None:
        return kept
    found = learn(
        descriptions=told.descriptions,
        entries=told.learned_from,
        as_of=told.as_of,
        rng=np.random.default_rng(seed_of(key)),
        start=fit_before(told, cache) if cache else None,
    )
    if cache:
        cache.put(key, found.to_arrays())
        last = {"entries": np.array(len(told.entries)), "fingerprint": np.array(key)}
        cache.put(_last_key(told), last)
    return found


def seed_of(key: str) -> int:
    """Dice that fall the same for the same log."""
    return int(key[:15], 16)


@dataclass
class NightForecast:
    """The forecast of one log's nights, with what plans have in common reckoned once per night ahead."""

    told: Known
    posterior: Posterior
    seed: int
    _bases: dict[tuple[Evening, bool], Base] = field(default_factory=dict)
    _alone: dict[tuple[tuple[Entry, ...], Evening, bool], Paths] = field(default_factory=dict)
    _once: dict[str, object] = field(default_factory=dict)

    def once(self, name: str, make: Callable[[], T]) -> T:
        """What follows from ``told`` alone, made the first time it is asked for."""
        if name not in self._once:
            self._once[name] = make()
        return self._once[name]  # type: ignore[return-value]  # one name, one kind

    def __call__(self, plans: Sequence[tuple[Entry, ...]], night: Evening, *, rough: bool = False) -> Paths:
        """Run plans through a night; the same dice fall for every call."""
        import numpy as np  # noqa: PLC0415 - loaded when it is needed

        from logbook.heat.night import run_plans  # noqa: PLC0415 - loaded when it is needed

        if len(plans) == 1 and (kept := self._alone.get((plans[0], night, rough))) is not None:
            return kept
        base = self.base(night, rough=rough)
        got = run_plans(base, evening=night, plans=plans, rng=np.random.default_rng(self.seed + 1))
        if len(plans) == 1 and len(self._alone) < MOST_ALONE:
            self._alone[plans[0], night, rough] = got  # "no fire" is asked for again with every plan tried
        return got

    def base(self, night: Evening, *, rough: bool = False) -> Base:
        """What every plan of a night starts from; reckoned once.

        The first night asked about is the evening's own, and all its draws will be wanted: a rough look at
        it takes some of them.
        """
        import numpy as np  # noqa: PLC0415 - loaded when it is needed

        from logbook.heat.branch import fewer  # noqa: PLC0415 - loaded when it is needed
        from logbook.heat.night import prepare_night  # noqa: PLC0415 - loaded when it is needed

        key = (night, rough)
        if rough and (not self._bases or (night, False) in self._bases):
            self._bases.setdefault(key, fewer(self.base(night), ROUGH_EVERY))
        if key not in self._bases:
            draws = self.posterior
            if rough:
                draws = replace(draws, z=draws.z[::ROUGH_EVERY])
            self._bases[key] = prepare_night(
                posterior=draws,
                descriptions=self.told.descriptions,
                entries=self.told.recent,
                evening=night,
                rng=np.random.default_rng(self.seed),
            )
        return self._bases[key]


def forecast_of(told: Known, *, cache: Cache | None = None) -> NightForecast:
    """Everything a night's questions need, from what is known."""
    return NightForecast(
        told=told, posterior=posterior_of(told, cache=cache), seed=seed_of(fingerprint(told))
    )
