"""Arriving, leaving and waking in the night, judged as ``harm`` judges an evening: by rows and answer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from benching.reliability.harm_cases import Case
from benching.reliability.harm_words import FIRST_OF_ALL, PHRASES, reassuring, strings
from logbook.actions.coming_going import Door, arrive, leave, woke
from logbook.actions.lists import Lists
from logbook.as_json.journeys import arrive_json, leave_json, woke_json
from logbook.house import House, Told
from logbook.results.journeys import ArriveAnswer, Awake, WokeAnswer
from logbook.wording.coming_going import arrive_text, leave_text, woke_text

Finding = tuple[str, str]
T = TypeVar("T")

HOT_C, COLD_PIPES_C = 28.0, -20.0 / 3.0

SAID_ON_THE_WAY = {
    "snowed_in": "Snow or ice may close the cap",
    "still_burning": "may still glow in the stove: that is fire",
    "room_is_not_pipes": "Pipes and drains lie colder",
    "drain_now": "uninsulated pipes freeze. Drain them before you go",
    "water_in": "Water is in the pipes and frost outside is possible",
    "hot_later": "before the walls are warm: skip the next load then, never the air",
}


@dataclass(frozen=True)
class Held:
    """What was learned of the case, whatever key it is asked for by: no fit is run."""

    arrays: Mapping[str, np.ndarray]

    def read(self, key: str, by: Callable[[Mapping[str, np.ndarray]], T]) -> T:
        """The one thing held."""
        return by(self.arrays)

    def put(self, key: str, arrays: Mapping[str, np.ndarray]) -> None:
        """Nothing is kept."""


def judge_journeys(case: Case, general: set[str], tried_kg: float) -> tuple[Counter[str], list[Finding]]:
    """The three, for a case whose general cautions are known (alarms, nest, levers)."""
    held, told = Held(case.forecast.posterior.to_arrays()), case.told
    setting, zone = told.setting, told.zone
    house = House(
        as_of=told.as_of, setting=setting, description=case.d, entries=told.entries,
        told=tuple(Told(at=e.at, matter=e.matter) for e in told.matters),
    )  # fmt: skip
    lists = Lists(house=house)
    door = Door(night_low_c=case.request.night_low_c)
    coming = arrive(told, door, lists=lists, cache=held)
    going = leave(told, door, lists=lists, cache=held)
    awake = woke(told, case.request, cache=held)
    found = [
        *_arriving(case, coming, general, tried_kg),
        *_awake(case, awake, general, tried_kg),
        *_all_said(_leaving(case, going.fire, going.outdoor_low_c, general), going.cautions, "leave"),
    ]
    pages = (
        (arrive_text(coming, setting=setting), arrive_json(coming, zone=zone)),
        (leave_text(going, setting=setting), leave_json(going, zone=zone)),
        (woke_text(awake, setting=setting), woke_json(awake, zone=zone)),
    )
    for (rows, as_json), answer in zip(pages, (coming, going, awake), strict=True):
        page = " ".join(rows)
        for caution in answer.cautions:
            if caution not in page:
                found.append(("missing on the page", caution))
        if as_json["cautions"] != list(answer.cautions):
            found.append(("missing in JSON", str(as_json["cautions"])))
        found += [("reassuring", bad) for text in (*strings(as_json), *rows) if (bad := reassuring(text))]
    return Counter({"arrivals, leavings and wakings": 3}), found


def _all_said(must: set[str], cautions: Sequence[str], where: str) -> Iterator[Finding]:
    for name in sorted(must):
        phrase = PHRASES.get(name) or SAID_ON_THE_WAY[name]
        if not any(phrase in text for text in cautions):
            yield f"missing: {name}", f"{where}: {cautions}"


def _arriving(case: Case, got: ArriveAnswer, general: set[str], tried_kg: float) -> Iterator[Finding]:
    stove = case.d.stove
    for load in got.loads:
        if load.air_open_pct < stove.clean_floor_open_pct - 0.01:
            yield "less air than the clean floor", f"arrive {load}"
        if load.kg > stove.max_load_kg + 1e-3 or load.kg > tried_kg + 1e-3:
            yield "more than the stove's limit", f"arrive {load}"
        if case.nest:
            yield "wood under a nest", f"arrive {load}"
    if got.loads and min(got.inside_c, got.outdoor_c) >= got.band_c[1]:
        yield "more fire in a hot room", f"arrive {got.inside_c} inside, {got.outdoor_c} outside"
    must = general & (FIRST_OF_ALL | {"nest_in_cap", "manual_first"})
    if got.loads:
        must |= {"coals_give_co"} | (general & {"floor_assumed"})
        if got.outdoor_c < 3.0:
            must |= {"snowed_in"}
    if got.peak_c.p95 > HOT_C + 1.5 and got.loads:
        must |= {"hot_later"}
    yield from _all_said(must, got.cautions, "arrive")


def _leaving(case: Case, fire: str, low_c: float, general: set[str]) -> set[str]:
    must = {"room_is_not_pipes"} | (general & {"nest_in_cap", "manual_first"})
    if fire != "out":
        must |= {"still_burning", "coals_give_co"} | (general & {"floor_assumed", "air_stands_low"})
        must |= general & {"damper_stands"}
    water = case.d.cabin.water
    if water != "none" and low_c <= COLD_PIPES_C:
        must.add("drain_now")
    elif water == "in" and low_c <= 3.0:
        must.add("water_in")
    return must


def _awake(case: Case, got: WokeAnswer, general: set[str], tried_kg: float) -> Iterator[Finding]:
    stove = case.d.stove
    for one in got.choices:
        burns = bool(one.choice.loads) or "coals_give_co" in general
        if burns and one.choice.air_open_pct < stove.clean_floor_open_pct - 0.01:
            yield "less air than the clean floor", f"woke {one.choice.air_open_pct}"
        for load in one.choice.loads:
            if load.kg > min(stove.max_load_kg, tried_kg) + 1e-3:
                yield "more than the stove's limit", f"woke {load}"
            if case.nest:
                yield "wood under a nest", f"woke {load}"
    first = got.choices[0]
    cooler = [c for c in got.choices if c.choice.indoor_max_c.p95 < HOT_C - 1.0]
    if first.choice.indoor_max_c.p95 > HOT_C and cooler:
        yield "hot first while a cooler one stands", f"woke {first.kind} {first.choice.indoor_max_c}"
    let = [c.choice for c in got.choices if c.kind is Awake.LET]
    if first.kind is Awake.RELOAD and let and let[0].indoor_min_c.p50 >= got.band_c[1]:
        yield "more fire in a hot room", f"woke {let[0].indoor_min_c}"
    must = general & (FIRST_OF_ALL | {"nest_in_cap", "manual_first", "air_stands_low"})
    if any(c.choice.loads for c in got.choices):
        must |= {"coals_give_co"} | (general & {"floor_assumed", "damper_stands"})
    yield from _all_said(must, got.cautions, "woke")
    for one in got.choices:
        if one.choice.indoor_max_c.p95 > HOT_C + 0.3:
            yield from _all_said({"too_hot"}, one.choice.cautions, "woke")
        if one.choice.loads and one.choice.loads[0].kindling:
            yield from _all_said({"cold_start"}, one.choice.cautions, "woke")
        elif one.choice.loads:
            yield from _all_said({"turn_down"}, one.choice.cautions, "woke")
