"""Readings -> posterior draws of the unknowns.

Priors first; then the mode by damped Gauss-Newton, with the covariance of the effects rebuilt as the mode
moves and Student weights on the readings' errors; then draws from a widened Student approximation, weighted
by the posterior with the weights tempered until enough draws count. The number that count is reported.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.construction import building
from logbook.heat.misfit import misfit, softened
from logbook.heat.mode import Mode, find_modes, mode_near, seen_residuals
from logbook.heat.model import Batch, batch, blocks, simulate
from logbook.heat.notebook import Stay, stays
from logbook.heat.priors import INDEX, UNKNOWNS, Change, Frame, change_kind
from logbook.heat.scenario import scenario
from logbook.heat.strain import moving, strain
from logbook.heat.summary import Derived, cannot_tell, derive, range_of
from logbook.heat.typed_twice import typed_twice
from logbook.heat.versions import description_at
from logbook.records import DatedDescription, Description, Entry
from logbook.results.night import FitAnswer

MODEL_VERSION = "10"
"""Goes up with every change that moves a learned number; the cache and logged forecasts carry it."""

LEAST_EFFECTIVE = 120.0
"""Weights are tempered until this many of the draws count."""

PROPOSAL_FREEDOM = 8.0
PROPOSAL_CURVATURE = 0.9
"""Draws come from a Student distribution of so many degrees of freedom and this share of the mode's
curvature: wider than the posterior, so that no weight runs away. ASSUMED; ``effective_draws`` tells."""

MOST_READINGS = 160
"""More readings in one stay are thinned evenly: beyond one in ten minutes nothing is learned."""


@dataclass(frozen=True)
class Posterior:
    """What was learned: equally weighted draws of ``z``, axes (draw, number), and the mode (number,)."""

    z: FloatArray
    mode: FloatArray
    changes: tuple[Change, ...]
    effective_draws: float
    readings: int
    stays: int
    widened: bool
    log_evidence: float
    derived: Derived
    cannot_tell: tuple[tuple[str, str], ...] = ()
    aside: tuple[datetime, ...] = ()
    """When the stays began that fit neither the others nor what is described, and were not learned from."""
    twice: tuple[datetime, ...] = ()
    """The same of stays that stand in the log twice."""
    copied: tuple[datetime, ...] = ()
    """When the stays began of which rows stood there twice at the same time, and were read once."""
    doubt: float = 1.0
    """By how much the errors of the readings were too small, as a variance."""
    model_version: str = MODEL_VERSION

    @property
    def set_aside(self) -> int:
        """How many stays were not learned from."""
        return len(self.aside) + len(self.twice)

    def to_arrays(self) -> dict[str, np.ndarray]:
        """Everything as arrays, for a cache."""
        return {
            "z": self.z,
            "mode": self.mode,
            "change_names": np.array([c.name for c in self.changes], dtype=str),
            "change_times": np.array([c.at.isoformat() for c in self.changes], dtype=str),
            "numbers": np.array(
                [
                    self.effective_draws,
                    self.readings,
                    self.stays,
                    float(self.widened),
                    self.log_evidence,
                    self.doubt,
                ]
            ),
            "aside": np.array([at.isoformat() for at in self.aside], dtype=str),
            "twice": np.array([at.isoformat() for at in self.twice], dtype=str),
            "copied": np.array([at.isoformat() for at in self.copied], dtype=str),
            "derived": np.stack(
                [
                    self.derived.heat_loss_w_per_k,
                    self.derived.time_constant_h,
                    self.derived.stove_efficiency,
                ]
            ),
            "cannot_tell": np.array(self.cannot_tell, dtype=str).reshape(-1, 2),
            "model_version": np.array(self.model_version),
        }

    @staticmethod
    def from_arrays(arrays: Mapping[str, np.ndarray]) -> Posterior:
        """The inverse of ``to_arrays``."""
        n = arrays["numbers"]
        names, times = arrays["change_names"], arrays["change_times"]
        return Posterior(
            z=arrays["z"],
            mode=arrays["mode"],
            changes=tuple(
                Change(str(name), datetime.fromisoformat(str(at)), change_kind(str(name)))
                for name, at in zip(names, times, strict=True)
            ),
            effective_draws=float(n[0]),
            readings=int(n[1]),
            stays=int(n[2]),
            widened=bool(n[3]),
            log_evidence=float(n[4]),
            derived=Derived(*arrays["derived"]),
            cannot_tell=tuple((str(key), str(why)) for key, why in arrays["cannot_tell"]),
            aside=tuple(datetime.fromisoformat(str(at)) for at in arrays["aside"]),
            twice=tuple(datetime.fromisoformat(str(at)) for at in arrays["twice"]),
            copied=tuple(datetime.fromisoformat(str(at)) for at in arrays["copied"]),
            doubt=float(n[5]),
            model_version=str(arrays["model_version"]),
        )


def useful_stays(told: Sequence[Stay], last: int | None) -> tuple[Stay, ...]:
    """Stays with at least two readings, the newest ``last`` of them; crowded readings thinned."""
    used = [thinned(stay) for stay in told if len(stay.readings) >= 2]
    return tuple(used if last is None else used[-last:])


def written_once(told: Sequence[Stay], last: int | None) -> tuple[tuple[Stay, ...], tuple[datetime, ...]]:
    """The newest ``last`` useful stays that are there once; when those among them that come twice began."""
    recent = useful_stays(told, None if last is None else 2 * last)
    twice = typed_twice(recent)
    once = [i for i in range(len(recent)) if i not in twice]
    kept = once if last is None else once[-last:]
    oldest = kept[0] if len(kept) < len(once) else 0
    return tuple(recent[i] for i in kept), tuple(recent[i].start for i in sorted(twice) if i >= oldest)


def thinned(stay: Stay) -> Stay:
    """The stay with at most MOST_READINGS readings and as many outdoor ones."""
    if len(stay.readings) <= MOST_READINGS:
        return stay
    keep = np.unique(np.linspace(0, len(stay.readings) - 1, MOST_READINGS).round().astype(int))
    return replace(stay, readings=tuple(stay.readings[i] for i in keep))


def changes_between(entries: Sequence[Entry], used: Sequence[Stay]) -> tuple[Change, ...]:
    """Dated changes that have stays on both sides; others can't be told from what came with them."""
    if not used:
        return ()
    named = [Change(e.change, e.at, change_kind(e.change)) for e in entries if e.change]
    return tuple(c for c in named if used[0].start < c.at <= used[-1].start)


def frame_of(
    used: Sequence[Stay], *, descriptions: Sequence[DatedDescription], changes: Sequence[Change]
) -> Frame:
    """What ``z`` refers to for these stays."""
    described = tuple(description_at(descriptions, stay.start).description for stay in used)
    return Frame(
        buildings=tuple(building(d.cabin) for d in described),
        descriptions=described,
        changes=tuple(changes),
        changed=np.array([[float(stay.start >= c.at) for stay in used] for c in changes]).reshape(
            len(changes), len(used)
        ),
    )


def prepare(
    used: Sequence[Stay],
    *,
    descriptions: Sequence[DatedDescription],
    changes: Sequence[Change],
    until: datetime | None = None,
) -> Batch:
    """Stays on the grid, ready to run; ``until`` lengthens the last one."""
    frame = frame_of(used, descriptions=descriptions, changes=changes)
    laid = [
        scenario(
            stay,
            description=frame.descriptions[i],
            building=frame.buildings[i],
            until=until if i == len(used) - 1 else None,
        )
        for i, stay in enumerate(used)
    ]
    return batch(frame, laid)


OTHER_START = {"rate_at_30": 0.9, "wood_rate": 1.0, "char_rate": -1.0, "rate_at_100": -0.5}
"""Second place to start from, in prior sd: a leaky stove. Two explanations (little air and much wood, or the
reverse) can each hold a mode."""


def starts(size: int, last: FloatArray | None) -> list[FloatArray]:
    """Where to look for the mode: the prior's centre, and a leaky stove or the last mode known."""
    other = np.zeros(size)
    if last is not None:
        n = min(len(last), len(UNKNOWNS))
        other[:n] = last[:n]
    else:
        for name, value in OTHER_START.items():
            other[INDEX[name]] = value
    return [np.zeros(size), other]


def _mode(b: Batch, start: Posterior | None) -> Mode:
    """The mode near the one of ``start``, or the best of those reached from nothing."""
    size = b.frame.size
    if start is not None and start.stays and start.changes == b.frame.changes:
        near = mode_near(b, start.mode, other=np.zeros(size))
        if near is not None:
            return near
    return max(find_modes(b, starts(size, None)), key=lambda m: m.log_evidence)


def log_density(b: Batch, z: FloatArray, mode: Mode) -> FloatArray:
    """Logarithm of the posterior density, up to a constant, with the covariance of ``mode``; axes (lane,)."""
    out: FloatArray = -0.5 * (z**2).sum(axis=1)
    for which in b.alike():
        group, whites = b.only(which), [mode.whites[i] for i in which]
        for lanes in blocks(len(which), len(z)):
            sim = simulate(group, z[lanes], dtype=np.float32, courses_only=True)
            missed = seen_residuals(group, z[lanes], sim, whites)
            out[lanes] -= 0.5 / mode.doubt * (missed**2).sum(axis=1)
    return out


def draw(b: Batch, mode: Mode, *, rng: np.random.Generator, draws: int) -> tuple[FloatArray, float, bool]:
    """Draws around the mode, weighted by the posterior; how many count, and whether too few did."""
    size = len(mode.z)
    lower = np.linalg.cholesky(PROPOSAL_CURVATURE * mode.curvature)
    normal = rng.standard_normal((2 * draws, size))
    scale = np.sqrt(PROPOSAL_FREEDOM / rng.chisquare(PROPOSAL_FREEDOM, size=(2 * draws, 1)))
    offset = np.linalg.solve(lower.T, normal.T).T * scale
    z = np.clip(mode.z + offset, -6.0, 6.0)
    log_target = log_density(b, z, mode)
    square = ((offset @ lower) ** 2).sum(axis=1)
    log_proposal = -0.5 * (PROPOSAL_FREEDOM + size) * np.log1p(square / PROPOSAL_FREEDOM)
    log_weight = log_target - log_proposal
    log_weight -= log_weight.max()
    power, count = 1.0, 0.0
    while power > 1e-3:
        weight = np.exp(power * log_weight)
        weight /= weight.sum()
        count = 1.0 / float((weight**2).sum())
        if count >= min(LEAST_EFFECTIVE, 0.5 * draws):
            break
        power *= 0.85
    # Systematic resampling: least extra noise for the same expectation.
    edges = (rng.random() + np.arange(draws)) / draws
    chosen = np.minimum(np.searchsorted(np.cumsum(weight), edges), 2 * draws - 1)
    return z[chosen], count, power < 0.5


def learn(
    *,
    descriptions: Sequence[DatedDescription],
    entries: Sequence[Entry],
    as_of: datetime,
    rng: np.random.Generator,
    start: Posterior | None = None,
    draws: int = 400,
    last_stays: int | None = 5,
) -> Posterior:
    """What the notebook up to ``as_of`` teaches; the prior alone without two readings of a stay to believe.

    Args:
        descriptions: All versions, oldest first; at least one.
        entries: As written, in the order written.
        as_of: Later rows are left out.
        rng: For the draws.
        start: An earlier posterior of the same log: the mode is looked for near its own, and as from nothing
            when it isn't found there.
        draws: How many draws to keep.
        last_stays: How many stays to use, newest first; None for all. Five lose nothing for tonight.
    """
    useful, twice = written_once(stays(entries, until=as_of), last_stays)
    told = moving(useful)
    known = [e for e in entries if e.at <= as_of]
    changes = changes_between(known, told)
    fitted = _sound_fit(told, descriptions=descriptions, changes=changes, start=start) if told else None
    if fitted is None:
        return replace(
            _believed(description_at(descriptions, as_of).description, changes, rng=rng, draws=draws),
            readings=sum(len(s.readings) for s in stays(entries, until=as_of)),
            aside=tuple(s.start for s in useful),
            twice=twice,
        )
    told, b, best = fitted
    z, count, widened = draw(b, best, rng=rng, draws=draws)
    return Posterior(
        z=z,
        mode=best.z,
        changes=changes,
        effective_draws=count,
        readings=sum(len(s.readings) for s in told),
        stays=len(told),
        widened=widened,
        log_evidence=best.log_evidence,
        derived=derive(b.frame, z, b, rng=rng),
        cannot_tell=cannot_tell(told),
        aside=tuple(s.start for s in useful if s not in told),
        twice=twice,
        copied=tuple(s.start for s in told if s.copied),
        doubt=best.doubt,
    )


def _believed(
    now: Description, changes: tuple[Change, ...], *, rng: np.random.Generator, draws: int
) -> Posterior:
    """What is believed before any reading."""
    size = len(UNKNOWNS) + len(changes)
    prior = rng.standard_normal((draws, size))
    frame = Frame((building(now.cabin),), (now,), (), np.zeros((0, 1)))
    return Posterior(
        z=prior,
        mode=np.zeros(size),
        changes=changes,
        effective_draws=float(draws),
        readings=0,
        stays=0,
        widened=False,
        log_evidence=0.0,
        derived=derive(frame, prior, None, rng=rng),
    )


def _sound_fit(
    told: tuple[Stay, ...],
    *,
    descriptions: Sequence[DatedDescription],
    changes: Sequence[Change],
    start: Posterior | None,
) -> tuple[tuple[Stay, ...], Batch, Mode] | None:
    """The fit of these stays, or of those left without the odd ones; None where no fit can be relied on.

    Where some had to go, the rest is believed by the share that it is of all.
    """
    all_told = len(told)
    for _ in range(2):
        b = prepare(told, descriptions=descriptions, changes=changes)
        best = _mode(b, start)
        strained, missed = strain(b, best), misfit(best)
        if not strained.doubtful and not missed.doubtful:
            return told, b, softened(best, missed.doubt * all_told / len(told))
        blamed = strained if strained.doubtful else missed
        told = tuple(told[i] for i in blamed.worth_keeping)
        if not told:
            return None
    return None


def summary(posterior: Posterior, *, seconds: float = 0.0) -> FitAnswer:
    """The answer to "what was learned": ranges, or why there is none."""
    untold = dict(posterior.cannot_tell)
    d = posterior.derived
    capacity = d.heat_loss_w_per_k * d.time_constant_h * 3600.0 / 1e6
    figures = {
        "heat_loss_w_per_k": d.heat_loss_w_per_k,
        "time_constant_h": d.time_constant_h,
        "heat_capacity_mj_per_k": capacity,
        "stove_efficiency": d.stove_efficiency,
    }
    told = {key: None if key in untold else range_of(draws) for key, draws in figures.items()}
    return FitAnswer(
        **told,
        readings=posterior.readings,
        stays=posterior.stays,
        effective_draws=posterior.effective_draws,
        seconds=seconds,
        from_description_only=posterior.stays == 0,
        cannot_tell=posterior.cannot_tell,
        aside=posterior.aside,
        twice=posterior.twice,
        copied=posterior.copied,
        doubt=posterior.doubt,
    )
