"""Whether a 90 % range holds the truth nine times in ten: invented stacks with a truth known to the test.

The truth of each stack is drawn from what the program assumes (solid share, density, the days of drying, the
moisture at splitting, the air), every cause by itself and not to first order as the ranges are put together.
So this tries the putting together, not the assumptions; those stand against published figures elsewhere.
"""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from logbook.actions.woodshed import kind_of, shed_air, wood
from logbook.care.drying import SETTLES_SD, Start, days_to_dry, green, moisture_on, pace, ready
from logbook.care.wood_amounts import BURNED_LOG_SD, SOLID_CORD, Z_90
from logbook.house import Burned, House, Told
from logbook.matters import Stack
from logbook.records import Entry
from logbook.results.night import Range
from logbook.setting import Setting

STACKS = 400
"""Invented stacks; the share held is then good to 1.5 in 100 (binomial sd)."""

PUT_UP = datetime(2025, 9, 1, 12, tzinfo=UTC)
AS_OF = datetime(2026, 1, 16, 20, tzinfo=UTC)
AIR = shed_air(House(as_of=AS_OF, setting=Setting(), description=None))


def skewed(found: Range, z: float) -> float:
    """A draw of a range whose two sides differ, z standard deviations from its middle."""
    end = found.p95 if z > 0.0 else found.p05
    return found.p50 * math.exp(abs(z) / Z_90 * math.log(end / found.p50))


def held(truth: list[float], told: list[Range]) -> float:
    """Share of the truths inside their ranges."""
    return float(np.mean([r.p05 <= t <= r.p95 for t, r in zip(truth, told, strict=True)]))


@pytest.mark.parametrize("species", ["birch", "oak", "mixed hardwood"])
def test_the_dry_wood_left_lies_in_its_range_nine_times_in_ten(species):
    """A cord, a third of it burned, the burned masses off by their own 5 %."""
    rng = np.random.default_rng(11)
    kind = kind_of(species)
    truth, told = [], []
    for _ in range(STACKS):
        density = kind.basic_density_kg_per_m3 * math.exp(kind.density_sd * rng.standard_normal())
        there = 3.6246 * skewed(SOLID_CORD, rng.standard_normal()) * density
        written = 3.6246 * SOLID_CORD.p50 * kind.basic_density_kg_per_m3 / 3.0
        truth.append(max(0.0, there - written * math.exp(BURNED_LOG_SD * rng.standard_normal())))
        told.append(left_of(species, written))
    assert 0.86 < held(truth, told) < 0.94


def left_of(species: str, burned_dry: float) -> Range:
    at = PUT_UP + timedelta(days=40)
    stack = Stack(name=species, volume_m3=3.6246, as_said="1 cord")
    load = Burned(at=at, kg=burned_dry * 1.2, kg_dry=burned_dry, species=species)
    answer = wood(
        House(
            as_of=AS_OF,
            setting=Setting(),
            description=None,
            entries=(Entry(at=PUT_UP, matter=stack), Entry(at=at, load_kg=load.kg, species=species)),
            told=(Told(at=PUT_UP, matter=stack),),
            burned=(load,),
        )
    )
    found = answer.stacks[0].left_kg_dry
    assert found is not None
    return found


def drawn_moisture(
    rng: np.random.Generator, species: str, *, split: date, days_later: list[int]
) -> list[float]:
    """One stack's true moisture on some days after it was split, followed a day at a time."""
    kind = kind_of(species)
    middle, log_sd = days_to_dry(kind)
    days = middle * math.exp(log_sd * rng.standard_normal())
    shift = SETTLES_SD * rng.standard_normal()
    pct = skewed(green(kind), rng.standard_normal())
    found, day = [], split
    for n in range(1, max(days_later) + 1):
        month = day.month - 1
        rest = AIR.settles_at_dry_pct[month] + shift
        pct = rest + (pct - rest) * math.exp(-pace(AIR.temperature_c[month]) / days)
        day += timedelta(days=1)
        if n in days_later:
            found.append(pct)
    return found


@pytest.mark.parametrize("species", ["birch", "spruce", "mixed"])
@pytest.mark.parametrize("split", [date(2025, 4, 1), date(2025, 10, 1)])
def test_moisture_lies_in_its_range_nine_times_in_ten(species, split):
    """After two, five and twelve months. Ranges put together to first order hold 85 to 97 in 100: a pace that
    is skewed and a start that matters less the drier it gets cannot be met to the point."""
    rng = np.random.default_rng(5)
    later = [60, 150, 365]
    truth = np.array([drawn_moisture(rng, species, split=split, days_later=later) for _ in range(STACKS)])
    kind = kind_of(species)
    for column, n in enumerate(later):
        told = moisture_on(split + timedelta(days=n), start=Start(split, green(kind)), kind=kind, air=AIR)
        share = float(np.mean((told.p05 <= truth[:, column]) & (truth[:, column] <= told.p95)))
        assert 0.85 <= share <= 0.97, (n, share)
        assert abs(float(np.median(truth[:, column])) - told.p50) < 3.0


def test_the_day_it_is_ready_lies_in_its_range_nine_times_in_ten():
    rng = np.random.default_rng(3)
    split, kind = date(2025, 3, 1), kind_of("birch")
    told = ready(now=split, start=Start(split, green(kind)), kind=kind, air=AIR)
    later = list(range(10, 760, 10))
    inside, tried = 0, STACKS // 2
    for _ in range(tried):
        path = drawn_moisture(rng, "birch", split=split, days_later=later)
        first = next((n for n, pct in zip(later, path, strict=True) if pct <= 25.0), None)
        day = None if first is None else split + timedelta(days=first)
        inside += day is not None and told.early <= day <= told.late
    assert 0.85 <= inside / tried <= 0.97


def test_a_range_that_is_really_80_percent_would_be_seen():
    """The check itself: ranges narrowed to 80 % fail the first test's bounds."""
    rng = np.random.default_rng(11)
    truth = np.exp(0.1 * rng.standard_normal(STACKS))
    narrow = [Range(math.exp(-1.2816 * 0.1), 1.0, math.exp(1.2816 * 0.1))] * STACKS
    assert held(list(truth), narrow) < 0.86
