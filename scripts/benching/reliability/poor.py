"""Nonsense in the log: is anything wrong said with confidence?

Three stays of an invented cabin are spoilt in one way; then comes a true evening with a true night. What is
learned of the heat loss must hold the truth, be left out with its reason, or be about as wide as before any
reading; the night's range must hold the truth as often as ranges do, or the answer must say that the readings
don't fit.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from benching.options import Options
from benching.parts import ROOT
from benching.reliability.spoils import SPOILS
from logbook.heat.fit import Posterior, learn, prepare, summary
from logbook.heat.night import forecast
from logbook.records import Entry
from logbook.wording.doubts import doubts_text

SEEDS, QUICK_SEEDS = 40, 1
DRAWS = 400
STAYS = 3
WIDE = 0.8
"""A range this share as wide as without any reading says nothing wrong with confidence."""

FAR = 0.25
"""A truth outside its range by more than this share of it: a normal of which 90 % is the range has it there
once in seventy."""

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)


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
    def far_off(self) -> bool:
        """Whether the heat loss is outside by more than a quarter of the range: no miss of one in ten."""
        if self.held or self.ua is None:
            return False
        low, high = self.ua
        return max(low - self.true_ua, self.true_ua - high) > FAR * (high - low)

    @property
    def night_held(self) -> bool:
        """Whether the night ended in its range."""
        return self.wake[0] <= self.woke_c <= self.wake[1]


def spoilt(name: str, seed: int, *, draws: int = DRAWS) -> Night:
    """One cabin whose log is spoilt in one way, and its night."""
    sys.path.insert(0, str(ROOT / "tests" / "heat"))
    import simulated as sim  # noqa: PLC0415 - stands beside the tests

    rng, dice = np.random.default_rng([11, seed]), random.Random(f"{name} {seed}")
    told, descriptions, _, evening, plan, woke_c, true_ua = lived(sim, rng)
    if name.startswith("two cabins"):
        other = lived(sim, np.random.default_rng([12, seed]))[0]
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
    return Night(
        ua=None if found is None else (found.p05, found.p95), prior_width=float(before[1] - before[0]),
        true_ua=true_ua, wake=(float(low), float(high)), woke_c=woke_c, said=says_so(posterior),
    )  # fmt: skip


def says_so(posterior: Posterior) -> bool:
    """Whether the answer says that the readings don't fit."""
    return bool(
        doubts_text(
            aside=posterior.aside,
            twice=posterior.twice,
            copied=posterior.copied,
            stays=posterior.stays,
            widened=posterior.widened,
            doubt=posterior.doubt,
            zone="UTC",
        )
    )


def lived(sim, rng: np.random.Generator):  # type: ignore[no-untyped-def]
    """Stays of one cabin, the last one an evening, with the night that followed it: entries by stay, the
    descriptions, the truth of every unknown, the evening, its plan, the truth at waking and the heat loss."""
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
    unsaid = sum(not n.held and not n.said for n in nights)
    far = sum(n.far_off for n in nights)
    return (
        f"| poor data: {name} | {len(nights)} | {seed} | heat loss outside a narrow range {wrong}, "
        f"unsaid {unsaid}, far outside {far}; "
        f"night inside its range {held}, outside but said {excused}, said at all "
        f"{sum(n.said for n in nights)}; width of the heat loss {share:.2f} of the prior's, of the night "
        f"{np.mean([n.wake[1] - n.wake[0] for n in nights]):.1f} K |"
    )
