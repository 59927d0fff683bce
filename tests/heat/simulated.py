"""Cabins invented from the product's own priors, and a count of how often its ranges hold their truth.

Each cabin draws every unknown from its prior. Two stays are lived in it: the model's own course, every random
effect and the smooth discrepancy drawn at their own sizes, readings with Student errors on top. This asks one
thing only: whether the inference is honest when the model is right. Whether the model is right is asked with
other people's cabins. Coals words are left out: the fit takes them as soft hints, not as something it could
have drawn.

    python tests/heat/simulated.py 200      # the figures for 200 cabins
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from logbook.heat.arrays import STEP_H, FloatArray
from logbook.heat.cabin import cooling_time_constant_h, steady_loss_w_per_k
from logbook.heat.effects import T_FREEDOM, effects, error_variance, matern, outdoor_sd_k, seen
from logbook.heat.fit import Posterior, learn, prepare
from logbook.heat.model import batch, simulate
from logbook.heat.night import forecast
from logbook.heat.notebook import Stay, stays
from logbook.heat.outdoors_ahead import Evening, tonight_outdoors
from logbook.heat.plans import plan_arrays
from logbook.heat.priors import UNKNOWNS, network
from logbook.heat.scenario import Scenario, step_of
from logbook.records import (
    Cabin,
    DatedDescription,
    Description,
    Entry,
    Layer,
    Mark,
    Site,
    Stove,
    Surface,
)

FRIDAY = datetime(2025, 1, 10, 16, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


def batt(thickness_mm: float) -> Layer:
    """Mineral wool between studs."""
    return Layer(
        material="batt",
        thickness_mm=thickness_mm,
        conductivity_w_per_mk=0.042,
        density_kg_per_m3=18.0,
        specific_heat_j_per_kgk=840.0,
    )


def board(thickness_mm: float) -> Layer:
    """Softwood boards."""
    return Layer(
        material="board",
        thickness_mm=thickness_mm,
        conductivity_w_per_mk=0.12,
        density_kg_per_m3=480.0,
        specific_heat_j_per_kgk=1630.0,
    )


def board_cabin(*, floor_m2: float = 24.0, glazing: str = "double", max_load_kg: float = 9.0) -> Description:
    """Boards outside and in with batts between; a stove for a far bigger room."""
    wall = 4.0 * np.sqrt(floor_m2) * 2.4 - 5.0
    return Description(
        cabin=Cabin(
            floor_m2=floor_m2,
            volume_m3=2.5 * floor_m2,
            leakiness="average",
            surfaces=(
                Surface(kind="wall", area_m2=float(wall), layers=(board(19), batt(89), board(16))),
                Surface(kind="roof", area_m2=1.15 * floor_m2, layers=(board(19), batt(120), board(16))),
                Surface(kind="floor", area_m2=floor_m2, over="air", layers=(board(16), batt(89), board(22))),
                Surface(kind="window", area_m2=3.0, glazing=glazing, faces="S"),
                Surface(kind="door", area_m2=1.8, u_w_per_m2k=2.2),
            ),
        ),
        stove=Stove(max_load_kg=max_load_kg, body_kg=140.0, clean_floor_assumed=False),
        site=Site(latitude_deg=46.0, longitude_deg=8.0),
    )


@dataclass(frozen=True)
class Lived:
    """One invented cabin: its notebook up to a bedtime, the plan that followed, and what came of it."""

    descriptions: list[DatedDescription]
    entries: tuple[Entry, ...]
    evening: Evening
    plan: tuple[Entry, ...]
    heat_loss_w_per_k: float
    time_constant_h: float
    wake_c: float


def _weekend(start: datetime, rng: np.random.Generator, *, whole: bool) -> list[Entry]:
    """What someone writes from arrival to bed, with ``whole`` on to the next noon; readings to be filled."""
    out = float(rng.normal(-1.0, 5.0))
    room = out + float(rng.uniform(1.0, 5.0))

    def row(hours: float, **said: object) -> Entry:
        return Entry(at=start + hours * HOUR, **said)  # type: ignore[arg-type]

    def load(least: float, most: float) -> float:
        return float(rng.uniform(least, most))

    def outdoors(later_k: float) -> float:
        return round(out + later_k + float(rng.normal(0.0, 0.5)), 1)

    rows = [
        row(0.0, mark=Mark.ARRIVED, indoor_c=room, outdoor_c=outdoors(0.0)),
        row(0.1, load_kg=load(1.5, 3.0), kindling=True, air_open_pct=90.0),
        row(1.0, indoor_c=0.0, load_kg=load(1.5, 3.5), air_open_pct=float(rng.choice([50, 70]))),
        row(2.5, indoor_c=0.0, outdoor_c=outdoors(-1.0)),
        row(3.5, indoor_c=0.0, load_kg=load(1.0, 3.0), air_open_pct=float(rng.choice([30, 50]))),
        row(5.0, indoor_c=0.0),
        row(6.0, indoor_c=0.0, outdoor_c=outdoors(-2.5)),
    ]
    if whole:
        rows += [
            row(6.2, load_kg=load(1.5, 5.0), air_open_pct=float(rng.choice([20, 30, 40]))),
            row(6.3, mark=Mark.BED),
            row(14.5, mark=Mark.WOKE, indoor_c=0.0, outdoor_c=outdoors(-4.0)),
            row(16.0, indoor_c=0.0),
            row(18.0, indoor_c=0.0, outdoor_c=outdoors(0.5)),
            row(18.1, mark=Mark.LEFT),
        ]
    return rows


def _with_plan(s: Scenario, stay: Stay, evening: Evening, plan: Sequence[Entry], d: Description) -> Scenario:
    """The scenario with the night's plan in it, by the product's own reading of a plan."""
    now = step_of(stay.start, evening.as_of)
    arrays = plan_arrays(
        [plan],
        start=evening.as_of,
        steps=s.steps - now,
        standing_air=s.air_open[now:],
        dead=[False] * (s.steps - now),
        open_minutes=d.stove.open_minutes,
        pile=d.wood,
    )

    def joined(before: FloatArray, after: FloatArray) -> FloatArray:
        return np.concatenate([before[:now], after[:, 0]])

    return replace(
        s,
        air_open=joined(s.air_open, arrays.air_open),
        load_kg=joined(s.load_kg, arrays.load_kg),
        kindled=joined(s.kindled, arrays.kindled),
        load_steps=(*s.load_steps, *(now + i for i in arrays.first_load[0])),
    )


def lived_through(
    stay: Stay,
    z: FloatArray,
    descriptions: list[DatedDescription],
    rng: np.random.Generator,
    *,
    night: tuple[Evening, tuple[Entry, ...]] | None = None,
) -> tuple[FloatArray, float]:
    """Noisy readings of one stay, and the true room temperature at its end, °C."""
    until = None if night is None else night[0].wake
    whole = prepare([stay], descriptions=descriptions, changes=(), until=until)
    s = whole.scenarios[0]
    outdoor_sd = outdoor_sd_k(s)
    if night is not None:
        evening, plan = night
        s, outdoor_sd, _ = tonight_outdoors(
            s,
            stay=stay,
            evening=evening,
            now=step_of(stay.start, evening.as_of),
            site=descriptions[0].description.site,
        )
        s = _with_plan(s, stay, evening, plan, descriptions[0].description)
    b = batch(whole.frame, [s])
    sim = simulate(b, z[None, :])
    response = effects(b, z, sim, outdoor_sd=[outdoor_sd])[0].response_k
    size = rng.standard_normal(response.shape[1])
    size[-3] = 0.0  # the room begins where it begins; only the reading of it is off
    hours = np.arange(s.steps + 1) * STEP_H
    lower = np.linalg.cholesky(matern(hours, hours) + 1e-9 * np.eye(len(hours)))
    truth = sim.air_c[: s.steps + 1, 0, 0] + response @ size + lower @ rng.standard_normal(len(hours))
    error = np.sqrt(error_variance(s, truth)) * rng.standard_t(T_FREEDOM, size=len(s.reading_c))
    return np.round(seen(s, truth).at(truth) + error, 1), float(truth[s.steps - 1])


def filled(rows: Sequence[Entry], readings: FloatArray) -> list[Entry]:
    told = iter(readings.tolist())
    return [row if row.indoor_c is None else replace(row, indoor_c=next(told)) for row in rows]


def live(seed: int) -> Lived:
    """The invented cabin of this seed."""
    rng = np.random.default_rng([4, seed])
    descriptions = [DatedDescription(uuid="s", valid_from=None, description=board_cabin())]
    z = rng.standard_normal(len(UNKNOWNS))
    first = _weekend(FRIDAY, rng, whole=True)
    second = _weekend(FRIDAY + timedelta(days=7), rng, whole=False)
    bed = second[-1].at + timedelta(minutes=10)
    low = float(second[-1].outdoor_c or 0.0) - float(rng.uniform(1.0, 5.0))
    evening = Evening(as_of=bed, bed=bed, wake=bed + 8 * HOUR, night_low_c=low)
    plan = (
        Entry(at=bed, load_kg=float(rng.uniform(1.0, 5.0)), air_open_pct=float(rng.choice([20, 30, 40]))),
    )
    one, two = stays([*first, *second])
    readings, _ = lived_through(one, z, descriptions, rng)
    first = filled(first, readings)
    readings, wake_c = lived_through(two, z, descriptions, rng, night=(evening, plan))
    second = filled(second, readings)
    frame = prepare([one], descriptions=descriptions, changes=()).frame
    net = network(frame, z[None, :])
    return Lived(
        descriptions=descriptions,
        entries=(*first, *second),
        evening=evening,
        plan=plan,
        heat_loss_w_per_k=float(steady_loss_w_per_k(net)[0, 0]),
        time_constant_h=float(cooling_time_constant_h(net, shape=(1, 1))[0, 0]),
        wake_c=wake_c,
    )


def heated_house(seed: int, *, days: int = 4) -> tuple[list[DatedDescription], list[Entry], float, float]:
    """A cabin with a heater of known power on and off and no stove lit: hourly rows as a logger writes them.

    Returns:
        Description, rows, and the true heat loss, W/K, and time constant, h.
    """
    rng = np.random.default_rng([7, seed])
    descriptions = [DatedDescription(uuid="h", valid_from=None, description=board_cabin())]
    z = rng.standard_normal(len(UNKNOWNS))
    watts = np.repeat(rng.choice([0.0, 1500.0, 3000.0], size=days * 3), 8)
    rows = [
        Entry(
            at=FRIDAY + i * HOUR,
            indoor_c=8.0,
            outdoor_c=float(np.round(-2.0 + 3.0 * np.cos((i + 1) * np.pi / 12.0) + rng.normal(0.0, 0.3), 1)),
            other_heat_w=float(heat) if i % 8 == 0 else None,
        )
        for i, heat in enumerate(watts)
    ]
    (stay,) = stays(rows)
    readings, _ = lived_through(stay, z, descriptions, rng)
    net = network(prepare([stay], descriptions=descriptions, changes=()).frame, z[None, :])
    loss = float(steady_loss_w_per_k(net)[0, 0])
    return descriptions, filled(rows, readings), loss, float(cooling_time_constant_h(net, shape=(1, 1))[0, 0])


def _held(draws: FloatArray, truth: float) -> tuple[bool, float, float]:
    low, middle, high = np.percentile(draws, [5.0, 50.0, 95.0])
    return bool(low <= truth <= high), float(middle - truth), float(high - low)


def judged(lived: Lived, *, draws: int, seed: int) -> dict[str, tuple[bool, float, float]]:
    """For each figure: whether its 90 % range holds the truth, how far its middle is off, how wide it is."""
    posterior: Posterior = learn(
        descriptions=lived.descriptions,
        entries=lived.entries,
        as_of=lived.evening.as_of,
        rng=np.random.default_rng([5, seed]),
        draws=draws,
    )
    paths = forecast(
        posterior=posterior,
        descriptions=lived.descriptions,
        entries=lived.entries,
        evening=lived.evening,
        plans=[lived.plan],
        rng=np.random.default_rng([6, seed]),
    )
    return {
        "heat_loss_w_per_k": _held(posterior.derived.heat_loss_w_per_k, lived.heat_loss_w_per_k),
        "time_constant_h": _held(posterior.derived.time_constant_h, lived.time_constant_h),
        "wake_c": _held(paths.indoor_c[0, :, -1], lived.wake_c),
        "effective_draws": (not posterior.widened, posterior.effective_draws, 0.0),
    }


def coverage(seeds: Iterable[int], *, draws: int = 400) -> dict[str, float]:
    """How often the 90 % ranges held the truth over these invented cabins, and how wide they were.

    Keys: ``cabins``; for each of ``heat_loss_w_per_k``, ``time_constant_h`` and ``wake_c`` the count
    ``_inside``, the root mean square of middle less truth ``_rmse`` and the mean ``_width``, in the unit of
    the name; ``effective_draws`` (median), ``widened`` (count) and ``seconds``.
    """
    began = time.perf_counter()
    rows = [judged(live(seed), draws=draws, seed=seed) for seed in seeds]
    out: dict[str, float] = {"cabins": float(len(rows))}
    for name in ("heat_loss_w_per_k", "time_constant_h", "wake_c"):
        out[f"{name}_inside"] = float(sum(row[name][0] for row in rows))
        out[f"{name}_rmse"] = float(np.sqrt(np.mean([row[name][1] ** 2 for row in rows])))
        out[f"{name}_width"] = float(np.mean([row[name][2] for row in rows]))
    out["effective_draws"] = float(np.median([row["effective_draws"][1] for row in rows]))
    out["widened"] = float(sum(not row["effective_draws"][0] for row in rows))
    out["seconds"] = time.perf_counter() - began
    return out


if __name__ == "__main__":
    for key, value in coverage(range(int(sys.argv[1]) if len(sys.argv) > 1 else 12)).items():
        print(f"{key:26} {value:8.2f}")
