"""Nonsense in the log: is anything wrong said with confidence?

Three stays of an invented cabin are spoilt in one way; then comes a true evening with a true night. What is
learned of the heat loss must hold the truth, be left out with its reason, or be about as wide as before any
reading; the night's range must hold the truth as often as ranges do, or the answer must say that the readings
don't fit.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from benching.options import Options
from benching.parts import ROOT
from logbook.heat.fit import Posterior, learn, prepare, summary
from logbook.heat.night import forecast
from logbook.records import Entry, Mark

SEEDS, QUICK_SEEDS = 40, 1
DRAWS = 200
STAYS = 3
WIDE = 0.8
"""A range this share as wide as without any reading says nothing wrong with confidence."""

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)

Spoil = Callable[[list[Entry], random.Random], list[Entry]]


def _swapped(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, indoor_c=e.outdoor_c, outdoor_c=e.indoor_c) for e in rows]


def _constant(rows: list[Entry], dice: random.Random) -> list[Entry]:
    value = round(dice.uniform(5.0, 25.0), 1)
    return [e if e.indoor_c is None else replace(e, indoor_c=value) for e in rows]


def _one_value_for_a_year(rows: list[Entry], dice: random.Random) -> list[Entry]:
    value = round(dice.uniform(5.0, 25.0), 1)
    end = min(e.at for e in rows)
    return [Entry(at=end - n * HOUR, indoor_c=value, mark=Mark.ARRIVED if n % 40 == 39 else None)
            for n in range(8760, 0, -1)]  # fmt: skip


def _one_minute(rows: list[Entry], dice: random.Random) -> list[Entry]:
    first = min(e.at for e in rows)
    return [replace(e, at=first + n * timedelta(seconds=1)) for n, e in enumerate(rows)]


def _colder_than_outside(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [
        e
        if e.indoor_c is None
        else replace(e, indoor_c=-5.0 + dice.uniform(-8, 0), outdoor_c=dice.uniform(2, 9))
        for e in rows
    ]


def _random_numbers(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [
        replace(
            e,
            indoor_c=None if e.indoor_c is None else round(dice.uniform(-20, 38), 1),
            outdoor_c=None if e.outdoor_c is None else round(dice.uniform(-30, 30), 1),
            load_kg=None if e.load_kg is None else round(dice.uniform(0.1, 9.0), 1),
            air_open_pct=None if e.air_open_pct is None else round(dice.uniform(0, 100)),
        )
        for e in rows
    ]


def _only_loads(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, indoor_c=None, outdoor_c=None) for e in rows if e.load_kg or e.mark]


def _only_temperatures(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, load_kg=None, kindling=False, air_open_pct=None) for e in rows]


def _loads_never_written(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [replace(e, load_kg=None, kindling=False) if dice.random() < 0.6 else e for e in rows]


def _units_mixed(rows: list[Entry], dice: random.Random) -> list[Entry]:
    """Some temperatures in °F under the name of °C, as far as the log takes them; loads in lb as kg."""
    out = []
    for e in rows:
        f = None if e.indoor_c is None else round(e.indoor_c * 1.8 + 32.0)
        odd = f if f is not None and dice.random() < 0.5 else e.indoor_c
        out.append(replace(e, indoor_c=odd, load_kg=None if e.load_kg is None else round(e.load_kg * 2.2, 1)))
    return out


def _times_shuffled(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return sorted((replace(e, at=e.at + dice.uniform(-6, 6) * HOUR) for e in rows), key=lambda e: e.at)


def _thermometer_at_85(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return [e if e.indoor_c is None or dice.random() < 0.6 else replace(e, indoor_c=85.0) for e in rows]


def _as_it_is(rows: list[Entry], dice: random.Random) -> list[Entry]:
    return rows


SPOILS: dict[str, Spoil] = {
    "nothing spoilt": _as_it_is,
    "indoor and outdoor swapped": _swapped,
    "one temperature for ever": _constant,
    "a year of one value": _one_value_for_a_year,
    "everything in one minute": _one_minute,
    "inside always colder than outside": _colder_than_outside,
    "random numbers": _random_numbers,
    "only loads": _only_loads,
    "only temperatures": _only_temperatures,
    "most loads not written": _loads_never_written,
    "units mixed up": _units_mixed,
    "times shuffled by hours": _times_shuffled,
    "two cabins in one log": _as_it_is,
    "a thermometer at 85": _thermometer_at_85,
}
"""What is done to the log; "two cabins" lives every other stay in another one."""


@dataclass(frozen=True)
class Night:
    """One spoilt log: the heat loss as learned and as it is, W/K, and the night after, °C."""

    ua: tuple[float, float] | None
    prior_width: float
    true_ua: float
    wake: tuple[float, float]
    woke_c: float
    said: bool

    @property
    def held(self) -> bool:
        """Whether the heat loss is held, left out, or as wide as before."""
        if self.ua is None:
            return True
        low, high = self.ua
        return low <= self.true_ua <= high or high - low >= WIDE * self.prior_width

    @property
    def night_held(self) -> bool:
        """Whether the night ended in its range."""
        return self.wake[0] <= self.woke_c <= self.wake[1]


def spoilt(name: str, seed: int, *, draws: int = DRAWS) -> Night:
    """One cabin whose log is spoilt in one way, and its night."""
    sys.path.insert(0, str(ROOT / "tests" / "heat"))
    import simulated as sim  # noqa: PLC0415 - stands beside the tests

    rng, dice = np.random.default_rng([11, seed]), random.Random(f"{name} {seed}")
    lived, described = _lived(sim, rng), None
    told, descriptions, z, evening, plan, woke_c, true_ua = lived
    if name.startswith("two cabins"):
        other = _lived(sim, np.random.default_rng([12, seed]))[0]
        told = [*told[:1], *other[1:2], *told[2:3], told[-1]]
    spoil = SPOILS[name]
    rows = [e for stay in told[:-1] for e in stay]
    entries = (*spoil(rows, dice), *told[-1])
    posterior = learn(descriptions=descriptions, entries=entries, as_of=evening.as_of,
                      rng=np.random.default_rng([5, seed]), draws=draws)  # fmt: skip
    prior = learn(descriptions=descriptions, entries=(), as_of=evening.as_of,
                  rng=np.random.default_rng([5, seed]), draws=draws)  # fmt: skip
    paths = forecast(posterior=posterior, descriptions=descriptions, entries=entries, evening=evening,
                     plans=[plan], rng=np.random.default_rng([6, seed]))  # fmt: skip
    found = summary(posterior).heat_loss_w_per_k
    low, high = np.percentile(paths.indoor_c[0, :, -1], (5, 95))
    before = np.percentile(prior.derived.heat_loss_w_per_k, (5, 95))
    del described, z
    return Night(
        ua=None if found is None else (found.p05, found.p95), prior_width=float(before[1] - before[0]),
        true_ua=true_ua, wake=(float(low), float(high)), woke_c=woke_c, said=says_so(posterior),
    )  # fmt: skip


def says_so(posterior: Posterior) -> bool:
    """Whether the answer says that the readings don't fit."""
    return posterior.widened or posterior.set_aside > 0


def _lived(sim, rng: np.random.Generator):  # type: ignore[no-untyped-def]
    """Stays of one cabin, the last one an evening, with the night that followed it."""
    descriptions = [sim.DatedDescription(uuid="s", valid_from=None, description=sim.board_cabin())]
    z = rng.standard_normal(len(sim.UNKNOWNS))
    told: list[Sequence[Entry]] = []
    for week in range(STAYS):
        rows = sim._weekend(sim.FRIDAY + 7 * week * timedelta(days=1), rng, whole=True)
        (stay,) = sim.stays(rows)
        told.append(sim.filled(rows, sim.lived_through(stay, z, descriptions, rng)[0]))
    last = sim._weekend(sim.FRIDAY + 7 * STAYS * timedelta(days=1), rng, whole=False)
    bed = last[-1].at + 10 * MINUTE
    low = float(last[-1].outdoor_c or 0.0) - float(rng.uniform(1.0, 5.0))
    evening = sim.Evening(as_of=bed, bed=bed, wake=bed + 8 * HOUR, night_low_c=low)
    plan = (
        Entry(at=bed, load_kg=float(rng.uniform(1.0, 5.0)), air_open_pct=float(rng.choice([20, 30, 40]))),
    )
    (stay,) = sim.stays(last)
    readings, woke_c = sim.lived_through(stay, z, descriptions, rng, night=(evening, plan))
    told.append(sim.filled(last, readings))
    frame = prepare([stay], descriptions=descriptions, changes=()).frame
    true_ua = float(sim.steady_loss_w_per_k(sim.network(frame, z[None, :]))[0, 0])
    return told, descriptions, z, evening, plan, woke_c, true_ua


def run(options: Options) -> Iterator[str]:
    """A row for each way to spoil a log."""
    seeds = options.how_many(SEEDS, quick=QUICK_SEEDS)
    for name in SPOILS:
        nights = [spoilt(name, 1000 * options.seed + n) for n in range(seeds)]
        yield row(name, nights, seed=options.seed)


def row(name: str, nights: Sequence[Night], *, seed: int) -> str:
    """What became of them."""
    wrong = sum(not n.held for n in nights)
    held = sum(n.night_held for n in nights)
    excused = sum(not n.night_held and n.said for n in nights)
    widths = [n.ua[1] - n.ua[0] for n in nights if n.ua is not None]
    share = np.mean(widths) / np.mean([n.prior_width for n in nights]) if widths else 1.0
    return (
        f"| poor data: {name} | {len(nights)} | {seed} | heat loss wrong with confidence {wrong}; "
        f"night inside its range {held}, outside but said {excused}, said at all "
        f"{sum(n.said for n in nights)}; width of the heat loss {share:.2f} of the prior's, of the night "
        f"{np.mean([n.wake[1] - n.wake[0] for n in nights]):.1f} K |"
    )
