"""Many stays at once through fire and cabin, for many sets of unknowns: axes (step, lane, stay)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from logbook.heat.arrays import FloatArray
from logbook.heat.cabin import Course, Rooms, RoomState
from logbook.heat.priors import (
    ChangeKind,
    Frame,
    change_effect,
    fire_law,
    heat_of_wood_mj_per_kg,
    network,
    values,
)
from logbook.heat.rows import Term, steps_together, stretches, upright
from logbook.heat.scenario import Scenario
from logbook.heat.stove import Burn, Fires, FireState, burn_out, cold_stove
from logbook.heat.wood import pile_dry_share

PERSON_W = 65.0
"""Sensible heat of a person at rest, W. Source: handbook value for a seated adult, from memory."""

ALWAYS_W = 10.0
"""Lamps and cooking, averaged, W. ASSUMED."""

BLOCK_LANES = 6000
"""Lanes times stays that run together when there are many; measured, a few times more or less is slower."""

MOST_ALIKE = 20
"""Stays of about one length that run together: with the differences of two starts, as many as stay in the
cache."""

STAYS_FOR_A_CALL = 8
"""A further group costs as much as so many stays more in one: what numpy's calls cost by themselves."""

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

    def only(self, which: Sequence[int]) -> Batch:
        """Some of the stays, as long as the longest of them."""
        f, chosen = self.frame, list(which)
        frame = Frame(
            buildings=tuple(f.buildings[i] for i in chosen),
            descriptions=tuple(f.descriptions[i] for i in chosen),
            changes=f.changes,
            changed=f.changed[:, chosen],
        )
        scenarios = tuple(self.scenarios[i] for i in chosen)
        steps = max(s.steps for s in scenarios)
        series = {name: getattr(self, name)[:steps, :, chosen] for name in PER_STEP}
        stays = {name: getattr(self, name)[:, chosen] for name in PER_STAY}
        return replace(self, frame=frame, scenarios=scenarios, steps=steps, **series, **stays)

    def alike(self) -> list[tuple[int, ...]]:
        """The stays in groups of about one length, so that none runs on for long after its end."""
        groups: list[list[int]] = []
        for i in sorted(range(len(self.scenarios)), key=lambda i: -self.scenarios[i].steps):
            steps = self.scenarios[i].steps
            last = groups[-1] if groups else []
            idle = (
                sum(self.scenarios[last[0]].steps - self.scenarios[j].steps for j in (*last, i))
                if last
                else 0
            )
            if not last or len(last) >= MOST_ALIKE or idle > STAYS_FOR_A_CALL * steps:
                groups.append([])
            groups[-1].append(i)
        return [tuple(group) for group in groups]


PER_STEP = ("air_open", "load_kg", "kindled", "window", "outdoor_c", "other_w", "people", "sun", "wind")
"""Fields of a batch with axes (step, 1, stay)."""

PER_STAY = ("firebox_kg", "heat_mj_per_kg", "start_c")
"""Fields of a batch with axes (1, stay)."""


@dataclass(frozen=True)
class Simulated:
    """What came of a batch. ``air_c`` has axes (step + 1, lane, stay): its first row is the start."""

    burn: Burn
    course: Course
    air_c: FloatArray
    window: FloatArray
    cracked_w_per_k: FloatArray
    opened_w_per_k: FloatArray

    @property
    def window_w_per_k(self) -> FloatArray:
        """Loss by the window, W/K at 25 K; axes (step, lane, stay)."""
        return window_w_per_k(self.window, self.cracked_w_per_k, self.opened_w_per_k)

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
            window=self.window,
            cracked_w_per_k=self.cracked_w_per_k[which],
            opened_w_per_k=self.opened_w_per_k[which],
        )

    def centre(self) -> Simulated:
        """The first lane alone, in arrays of its own."""
        one = self.lanes(slice(0, 1))
        b, c = one.burn, one.course
        return replace(
            one,
            burn=Burn(b.to_room_kw.copy(), b.gross_kw.copy(), b.wood_kg.copy(), b.char_kg.copy(), b.last),
            course=Course(c.air_c.copy(), c.air_w_per_k.copy(), c.last),
            air_c=one.air_c.copy(),
        )

    def until(self, steps: int) -> Simulated:
        """The first so many steps, without copying. ``last`` of burn and course stays that of the whole."""
        b, c = self.burn, self.course
        return replace(
            self,
            burn=Burn(b.to_room_kw[:steps], b.gross_kw[:steps], b.wood_kg[:steps], b.char_kg[:steps], b.last),
            course=Course(c.air_c[:steps], c.air_w_per_k[:steps], c.last),
            air_c=self.air_c[: steps + 1],
            window=self.window[:steps],
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
    firebox = [max(d.stove.max_load_kg * pile_dry_share(d.wood), largest) for d in frame.descriptions]
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


def window_terms(window: FloatArray, cracked: FloatArray, opened: FloatArray) -> list[Term]:
    """The same as terms of a run, axes (step, *lanes) and (*lanes)."""
    half = (window > 0.5) & (window < 1.5)
    return [Term(half.astype(window.dtype), cracked), Term((window > 1.5).astype(window.dtype), opened)]


def blocks(stays: int, count: int) -> Iterator[slice]:
    """Stretches of ``count`` sets of unknowns whose arrays, for so many stays, stay in the cache."""
    size = max(1, BLOCK_LANES // max(stays, 1))
    return (slice(first, min(first + size, count)) for first in range(0, count, size))


def fires(b: Batch, z: FloatArray, *, dtype: type = np.float64) -> Burn:
    """The fires alone: what burns does not depend on the room."""
    most = steps_together(len(z) * len(b.scenarios))
    return burn_out(_fires(b, z, dtype=dtype, most=most), steps=b.steps, most=most)


def _fires(b: Batch, z: FloatArray, *, dtype: type, most: int) -> Fires:
    return Fires(
        fire_law(b.frame, z),
        air_open=b.air_open,
        load_kg=b.load_kg,
        kindled=b.kindled,
        firebox_kg=b.firebox_kg,
        heat_mj_per_kg=b.heat_mj_per_kg,
        start=cold_stove((z.shape[0], len(b.scenarios)), dtype),
        most=most,
    )


def simulate(b: Batch, z: FloatArray, *, dtype: type = np.float64, courses_only: bool = False) -> Simulated:
    """Run every stay for every set of unknowns; ``z`` has axes (lane, number).

    Single precision is right to 0.001 K over the whole prior: enough to weigh draws, not to differentiate.
    ``courses_only`` leaves out what readings don't look at: heat and conductances have no rows then.
    """
    v = values(z)
    lanes = (z.shape[0], len(b.scenarios))
    most = steps_together(lanes[0] * lanes[1])
    fires = _fires(b, z, dtype=dtype, most=most)
    start: FloatArray = np.broadcast_to(b.start_c.astype(dtype), lanes)
    rooms = Rooms(
        network(b.frame, z),
        outdoor_c=[Term(b.outdoor_c, 1.0), Term(np.ones((1, 1, 1)), v["outdoor_offset"])],
        air_gain_w=[Term(b.other_w + ALWAYS_W, 1.0), Term(PERSON_W * b.people, v["people"])],
        fabric_gain_w=[Term(b.sun, v["sun"])],
        window_w_per_k=window_terms(b.window, v["window_cracked"], v["window_open"]),
        leak_scale=b.wind,
        start=RoomState(start, start, start),
        steps=b.steps,
    )
    across = tuple(reversed(lanes))
    air: FloatArray = np.empty((b.steps + 1, *across), dtype=dtype)
    wood, char = np.empty((2, b.steps, *across), dtype=dtype)
    heat, gross, lost = np.empty((3, most if courses_only else b.steps, *across), dtype=dtype)
    for first, end in stretches(fires.stops | rooms.stops, most=most):
        part = slice(first, end)
        made = slice(0, end - first) if courses_only else part
        fires.ahead(
            first, end, to_room_kw=heat[made], gross_kw=gross[made], wood_kg=wood[part], char_kg=char[part]
        )
        rooms.ahead(
            first,
            end,
            stove_kw=heat[made],
            fire_kw=gross[made],
            air_c=air[first + 1 : end + 1],
            air_w_per_k=None if courses_only else lost[part],
        )
    if courses_only:
        heat, gross, lost = heat[:0], gross[:0], lost[:0]
    air[0] = b.start_c.T
    course = Course(air_c=upright(air[1:]), air_w_per_k=upright(lost), last=rooms.state())
    moved = change_effect(b.frame, z, ChangeKind.THERMOMETER)
    # A moved thermometer shows another temperature; the room is as it was.
    shown = air + moved.T.astype(dtype) if moved.any() else air
    return Simulated(
        burn=Burn(upright(heat), upright(gross), upright(wood), upright(char), fires.state()),
        course=course,
        air_c=upright(shown),
        window=b.window,
        cracked_w_per_k=v["window_cracked"],
        opened_w_per_k=v["window_open"],
    )
