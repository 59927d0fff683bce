"""Many stays at once through fire and cabin, for many sets of unknowns: axes (step, lane, stay)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.cabin import Course, RoomState, run
from logbook.heat.priors import (
    ChangeKind,
    Frame,
    change_effect,
    fire_law,
    heat_of_wood_mj_per_kg,
    network,
    values,
)
from logbook.heat.scenario import Scenario
from logbook.heat.stove import Burn, FireState, burn, cold_stove
from logbook.heat.wood import dry_share

PERSON_W = 65.0
"""Sensible heat of a person at rest, W. Source: handbook value for a seated adult, from memory."""

ALWAYS_W = 10.0
"""Lamps and cooking, averaged, W. ASSUMED."""

UNKNOWN_START_ABOVE_OUTDOOR_K = 2.0
"""An unheated cabin stands a little above the outdoor mean, K. ASSUMED, with its own spread."""


@dataclass(frozen=True)
class Batch:
    """Stays side by side, padded to the longest; axes (step, 1, stay) or (1, stay)."""

    frame: Frame
    scenarios: tuple[Scenario, ...]
    steps: int
    air_open: FloatArray
    load_kg: FloatArray
    kindled: FloatArray
    window: FloatArray
    outdoor_c: FloatArray
    other_w: FloatArray
    people: FloatArray
    sun: FloatArray
    wind: FloatArray
    firebox_kg: FloatArray
    heat_mj_per_kg: FloatArray
    start_c: FloatArray


@dataclass(frozen=True)
class Simulated:
    """What came of a batch. ``air_c`` has axes (step + 1, lane, stay): its first row is the start."""

    burn: Burn
    course: Course
    air_c: FloatArray
    window_w_per_k: FloatArray

    def lanes(self, which: slice) -> Simulated:
        """Some of the lanes, without copying."""
        b, c = self.burn, self.course
        return Simulated(
            burn=Burn(
                to_room_kw=b.to_room_kw[:, which],
                gross_kw=b.gross_kw[:, which],
                wood_kg=b.wood_kg[:, which],
                char_kg=b.char_kg[:, which],
                last=FireState(*(part[which] for part in b.last)),
            ),
            course=Course(
                air_c=c.air_c[:, which],
                air_w_per_k=c.air_w_per_k[:, which],
                last=RoomState(*(part[which] for part in c.last)),
            ),
            air_c=self.air_c[:, which],
            window_w_per_k=self.window_w_per_k[:, which],
        )


def batch(frame: Frame, scenarios: Sequence[Scenario]) -> Batch:
    """Put stays side by side."""
    steps = max(s.steps for s in scenarios)

    def side_by_side(name: str) -> FloatArray:
        columns = []
        for s in scenarios:
            column = getattr(s, name)
            fill = 0.0 if name in {"load_kg", "kindled"} else column[-1]
            columns.append(np.concatenate([column, np.full(steps - len(column), fill)]))
        return np.stack(columns, axis=1)[:, None, :]

    largest = max(float(s.load_kg.max(initial=0.0)) for s in scenarios)
    firebox = [
        max(
            d.stove.max_load_kg * dry_share(moisture_pct=d.wood.moisture_pct, basis=d.wood.moisture_basis),
            largest,
        )
        for d in frame.descriptions
    ]
    starts = [
        s.first_indoor_c
        if np.isfinite(s.first_indoor_c)
        else float(s.outdoor_c.mean()) + UNKNOWN_START_ABOVE_OUTDOOR_K
        for s in scenarios
    ]
    return Batch(
        frame=frame,
        scenarios=tuple(scenarios),
        steps=steps,
        air_open=side_by_side("air_open"),
        load_kg=side_by_side("load_kg"),
        kindled=side_by_side("kindled"),
        window=side_by_side("window"),
        outdoor_c=side_by_side("outdoor_c"),
        other_w=side_by_side("other_w"),
        people=side_by_side("people"),
        sun=side_by_side("sun"),
        wind=side_by_side("wind"),
        firebox_kg=np.array(firebox)[None, :],
        heat_mj_per_kg=np.array([heat_of_wood_mj_per_kg(d) for d in frame.descriptions])[None, :],
        start_c=np.array(starts)[None, :],
    )


def window_w_per_k(window: FloatArray, cracked: FloatArray, opened: FloatArray) -> FloatArray:
    """Loss by the window, W/K at 25 K, from its code 0, 1, 2."""
    out: FloatArray = np.where(window > 1.5, opened, np.where(window > 0.5, cracked, 0.0))
    return out


def simulate(b: Batch, z: FloatArray) -> Simulated:
    """Run every stay for every set of unknowns; ``z`` has axes (lane, number)."""
    v = values(z)
    lanes = (z.shape[0], len(b.scenarios))
    fire = burn(
        fire_law(b.frame, z),
        air_open=b.air_open,
        load_kg=b.load_kg,
        kindled=b.kindled,
        firebox_kg=b.firebox_kg,
        heat_mj_per_kg=b.heat_mj_per_kg,
        start=cold_stove(lanes),
    )
    window = window_w_per_k(b.window, v["window_cracked"], v["window_open"])
    net = network(b.frame, z)
    start = np.broadcast_to(b.start_c, lanes)
    course = run(
        net,
        outdoor_c=b.outdoor_c + v["outdoor_offset"],
        stove_w=1000.0 * fire.to_room_kw,
        fire_kw=fire.gross_kw,
        air_gain_w=v["people"] * PERSON_W * b.people + ALWAYS_W + b.other_w,
        fabric_gain_w=v["sun"] * b.sun,
        window_w_per_k=window,
        leak_scale=b.wind,
        start=RoomState(start, start, start),
    )
    air = np.concatenate([start[None], course.air_c])
    moved = change_effect(b.frame, z, ChangeKind.THERMOMETER)
    if moved.any():
        air = air + moved  # a moved thermometer shows another temperature; the room is as it was
    return Simulated(burn=fire, course=course, air_c=air, window_w_per_k=window)
