"""Seconds for each thing that must be quick, each beside a baseline of the same run, and where they go."""

from __future__ import annotations

import cProfile
import pstats
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import TypeVar

import numpy as np

from benching import shell
from benching.options import Options
from benching.table import Aim, aims_table, table
from benching.told import described, notebook, now_of
from logbook.heat.fit import Posterior, learn, prepare, starts, useful_stays
from logbook.heat.mode import find_modes, residuals
from logbook.heat.model import simulate
from logbook.heat.night import Base, Evening, prepare_night, run_plans
from logbook.heat.notebook import stays
from logbook.heat.priors import UNKNOWNS
from logbook.records import Entry

T = TypeVar("T")

STAYS, MANY = 10, 200
JOINT = 60
"""Stays fitted jointly, as a comparison over years does."""

DRAWS, PLANS = 400, 200
TIMES = 5
TOP = 10
AIRS = (20.0, 35.0, 50.0, 65.0, 80.0)


def timed(do: Callable[[], T], times: int = 1) -> tuple[T, float]:
    """The last result, and the median of the seconds."""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        got = do()
        took.append(time.perf_counter() - began)
    return got, statistics.median(took)


def run(options: Options) -> Iterator[str]:
    """The tables."""
    fits, posterior = fit_aims(options)
    yield from aims_table(fits)
    yield ""
    yield from aims_table(night_aims(posterior, options))
    yield ""
    yield from aims_table(list(shell.aims(options)))
    rows = notebook(STAYS)
    yield f"\nWhere `learn` goes ({STAYS} stays), by its own seconds:\n"
    yield from where(lambda: learned(rows, last=2 if options.quick else STAYS))
    base, evening = night_of(posterior, rows)
    some = plans(evening, 10 if options.quick else PLANS)
    yield f"\nWhere {len(some)} plans x {len(base.z)} draws go (the blocks' threads count as waiting):\n"
    yield from where(lambda: run_plans(base, evening=evening, plans=some, rng=np.random.default_rng(7)))


def learned(rows: Sequence[Entry], *, last: int | None, start: Posterior | None = None) -> Posterior:
    """What the product learns from the last so many stays."""
    return learn(
        descriptions=described(),
        entries=rows,
        as_of=now_of(list(rows)),
        rng=np.random.default_rng(5),
        start=start,
        draws=DRAWS,
        last_stays=last,
    )


def fit_aims(options: Options) -> tuple[list[Aim], Posterior]:
    """Seconds of fits, and the posterior of ten stays."""
    few = 2 if options.quick else STAYS
    rows = notebook(few)
    posterior, ten_s = timed(lambda: learned(rows, last=few), 1 if options.quick else 3)
    five, usual_s = timed(lambda: learned(rows, last=5 if few > 5 else few), 1)
    before = [e for e in rows if e.at <= now_of(rows) - timedelta(hours=20)]
    stored = learned(before, last=5 if few > 5 else few)
    _, again_s = timed(lambda: learned(rows, last=5 if few > 5 else few, start=stored))
    aims = [
        Aim(f"learn from {few} stays", ten_s, " s", most=2.0),
        Aim("  baseline: general-purpose least squares to the same mode", baseline_s(rows, few), " s"),
        Aim(f"learn as the app does, from the last {five.stays}", usual_s, " s"),
        Aim("one new evening, the stored mode a start", again_s, " s", most=0.5),
    ]
    if not options.quick:
        many = notebook(MANY)
        _, usual_s = timed(lambda: learned(many, last=5))
        aims.append(Aim(f"a log of {MANY} stays, as the app learns it", usual_s, " s", most=10.0))
        joint, joint_s = timed(lambda: learned(notebook(JOINT), last=JOINT))
        aims.append(Aim(f"{joint.stays} stays jointly, from nothing", joint_s, " s"))
    return aims, posterior


def baseline_s(rows: Sequence[Entry], few: int) -> float:
    """Seconds of scipy's least squares on the same residuals, the covariance given, a lane at a time."""
    from scipy.optimize import least_squares  # noqa: PLC0415 - a dev extra

    told = useful_stays(stays(rows, until=now_of(list(rows))), few)
    b = prepare(told, descriptions=described(), changes=())
    mode = find_modes(b, starts(len(UNKNOWNS), None)[:1], rounds=1)[0]

    def missed(z: np.ndarray) -> np.ndarray:
        lane = z[None, :]
        return residuals(b, lane, simulate(b, lane), mode.whites)[0]

    _, took = timed(
        lambda: least_squares(missed, np.zeros(len(mode.z)), diff_step=1e-3, ftol=1e-4, max_nfev=20)
    )
    return took


def night_of(posterior: Posterior, rows: Sequence[Entry]) -> tuple[Base, Evening]:
    """The demo's last evening, ready for plans."""
    now = now_of(list(rows))
    evening = Evening(
        as_of=now, bed=now + timedelta(minutes=20), wake=now + timedelta(hours=9), night_low_c=-9.0
    )
    base = prepare_night(
        posterior=posterior,
        descriptions=described(),
        entries=rows,
        evening=evening,
        rng=np.random.default_rng(6),
    )
    return base, evening


def plans(evening: Evening, count: int) -> list[tuple[Entry, ...]]:
    """Different loads at different airs, a second load in every other one."""
    made = []
    for i in range(count):
        first = Entry(at=evening.bed, load_kg=1.0 + 8.0 * i / count, air_open_pct=AIRS[i % len(AIRS)])
        later = Entry(at=evening.bed + timedelta(hours=4), load_kg=2.0, air_open_pct=AIRS[i % len(AIRS)])
        made.append((first, later) if i % 2 else (first,))
    return made


def night_aims(posterior: Posterior, options: Options) -> list[Aim]:
    """Milliseconds of tonight's pass."""
    rows = notebook(STAYS)
    (base, evening), prepared_s = timed(lambda: night_of(posterior, rows))
    some = plans(evening, 10 if options.quick else PLANS)
    times = 1 if options.quick else TIMES

    def together(of: Base) -> float:
        return timed(lambda: run_plans(of, evening=evening, plans=some, rng=np.random.default_rng(7)), times)[
            1
        ]

    def one_by_one() -> None:
        for plan in some[:20]:
            run_plans(base, evening=evening, plans=[plan], rng=np.random.default_rng(7))

    together(base)  # the first touch of memory is not what is asked for
    distinct = len(np.unique(base.z, axis=0))
    apart = replace(base, z=base.z + 1e-9 * np.arange(len(base.z))[:, None])
    name = f"{len(base.z)} draws x {len(some)} plans"
    hours = (evening.wake - evening.as_of) / timedelta(hours=1)
    each_s = timed(one_by_one)[1] / min(20, len(some))
    return [
        Aim(f"{name}, {hours:.0f} h ({distinct} draws differ)", 1000 * together(base), " ms", most=150,
            decimals=0),
        Aim(f"{name}, were all draws different", 1000 * together(apart), " ms", most=150, decimals=0),
        Aim("  baseline: plan by plan, the same draws", 1000 * each_s * len(some), " ms", decimals=0),
        Aim("the evening so far, before any plan", 1000 * prepared_s, " ms", decimals=0),
    ]  # fmt: skip


def where(do: Callable[[], object]) -> Iterator[str]:
    """The functions that took longest."""
    profile = cProfile.Profile()
    profile.runcall(do)
    stats = pstats.Stats(profile).stats  # type: ignore[attr-defined] - there, and untyped
    own = sorted(((took[2], took[0], place) for place, took in stats.items()), reverse=True)
    whole = sum(seconds for seconds, _, _ in own)
    rows = [
        [f"{place[0].rsplit('/', 1)[-1]}:{place[2]}", str(calls), f"{seconds:.3f}", f"{seconds / whole:.0%}"]
        for seconds, calls, place in own[:TOP]
    ]
    yield from table(("function", "calls", "own s", "share"), rows)
