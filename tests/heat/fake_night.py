"""A forecast simple enough to reckon by hand: one exponential room, wood that gives its heat over hours.

Not the product's model, so that the choosing is tested on its own. Each kilogram lifts the room in proportion
to ``heat_k_per_kg`` while it burns, longer with less air; draws differ by a factor on heat and on cooling.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from logbook.records import Entry, Window


@dataclass(frozen=True, kw_only=True)
class Evening:
    as_of: datetime
    bed: datetime
    wake: datetime
    night_low_c: float | None = None
    outdoor: tuple[tuple[datetime, float], ...] = ()


@dataclass(frozen=True)
class Paths:
    times: tuple[datetime, ...]
    indoor_c: np.ndarray
    fire: np.ndarray
    left_kg_dry: np.ndarray
    outdoor_c: np.ndarray
    outdoor_guessed: bool
    may_glow: np.ndarray

    @property
    def burning(self) -> np.ndarray:
        return np.maximum(self.fire, self.may_glow)


@dataclass
class FakeForecast:
    start_c: float = 20.0
    outdoor_c: float = -5.0
    time_constant_h: float = 9.0
    heat_k_per_kg: float = 4.0
    burn_h: float = 4.0
    coals_left_kg: float = 0.3
    coals_air_pct: float | None = None
    """The air as it stands: with it, what is left burns like a load at the air named, else at this."""
    spread: float = 0.15
    draws: int = 60
    calls: int = 0
    plans_seen: int = 0

    def __call__(self, plans: Sequence[tuple[Entry, ...]], night: Evening, *, rough: bool = False) -> Paths:
        self.calls += 1
        self.plans_seen = max(self.plans_seen, len(plans))
        step = timedelta(minutes=15)
        count = int((night.wake - night.as_of) / step)
        times = (*(night.as_of + i * step for i in range(count)), night.wake)
        factor = 1.0 + self.spread * np.linspace(-1.6, 1.6, self.draws)
        outdoor = self.outdoor_c if night.night_low_c is None else night.night_low_c
        indoor = np.empty((len(plans), self.draws, len(times)))
        left = np.zeros((len(plans), len(times)))
        fire = np.zeros((len(plans), len(times)), dtype=int)
        for p, plan in enumerate(plans):
            room = np.full(self.draws, self.start_c)
            pools = [[self.coals_left_kg, self._coals_burn_h(plan)]]
            waiting = sorted([e for e in plan if e.load_kg], key=lambda e: e.at)
            cracked = any(e.window is Window.CRACKED for e in plan)
            for t, at in enumerate(times):
                while waiting and waiting[0].at <= at:
                    e = waiting.pop(0)
                    air = (e.air_open_pct or 30.0) / 30.0
                    pools.append([e.load_kg * 0.82, self.burn_h / air**0.5])
                    left[p, t - 1 if t else 0] += 0.0
                left[p, t] = sum(kg for kg, _ in pools)
                fire[p, t] = 0 if left[p, t] < 0.05 else (1 if left[p, t] < 0.4 else 2)
                indoor[p, :, t] = room
                hours = 0.25
                burned = 0.0
                for pool in pools:
                    used = pool[0] * (1 - np.exp(-hours / (pool[1] / 2)))
                    pool[0] -= used
                    burned += used
                tau = self.time_constant_h * (0.55 if cracked else 1.0)
                room = room + burned / 0.82 * self.heat_k_per_kg * factor - (room - outdoor) * hours / tau
        return Paths(
            times=times,
            indoor_c=indoor,
            fire=fire,
            left_kg_dry=left,
            outdoor_c=np.full(len(times), outdoor),
            outdoor_guessed=night.night_low_c is None,
            may_glow=fire > 0,  # every draw burns alike
        )

    def _coals_burn_h(self, plan: Sequence[Entry]) -> float:
        if self.coals_air_pct is None:
            return 1.0
        named = [e.air_open_pct for e in plan if e.air_open_pct is not None]
        return self.burn_h / ((named or [self.coals_air_pct])[0] / 30.0) ** 0.5


def colder(night: Evening, by_k: float) -> Evening:
    return replace(night, night_low_c=(night.night_low_c or 0.0) - by_k)
