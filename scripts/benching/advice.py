"""The first choice, carried out: its cost beside the best plan with hindsight and fixed rules.

The engine that made the practice cabins is not here, so no choice of ours can be run. Its cost is estimated
in hindsight (``hindsight``) from six plans of the same evening that were run, and the estimate's own error
stands beside it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from benching import cabins
from benching.hindsight import BAND_C, Known, Run, Span, estimate
from benching.options import Options
from benching.table import Aim, aims_table, table
from logbook.actions.reckoning import Cache, NightForecast, fingerprint, known, posterior_of, seed_of
from logbook.actions.tonight import Answered, Request, answer_with
from logbook.description import parse_description
from logbook.records import Entry, Window

PROCESSES = 2

EVERY = 3
"""Every so manieth night unless all are asked for."""

BEST = {False: "one_load", True: "two_loads"}
"""The best clean plan with hindsight, by whether somebody gets up."""

WITHIN_TIMES, WITHIN = 1.5, 4.0
"""The aim: at most 1.5 times the best plan with hindsight, or within 4 K·h of it."""

CANT_BE_HELD = 8.0
"""With more than this, K·h, no clean plan held the band: about one kelvin outside it all night. ASSUMED."""

WIDE_OPEN_MINUTES, WIDE_OPEN_PCT = 12, 60.0
"""How the practice cabins' plans begin a fire."""


@dataclass(frozen=True)
class Chosen:
    """The first choice of one night: what it would have cost, K·h, and what was said."""

    expected: float
    in_hindsight: float
    chance_near: float
    best: float
    best_left_out: float
    says_so: bool
    wood_kg: float

    @property
    def limit(self) -> float:
        """What it may cost by the aim."""
        return max(WITHIN_TIMES * self.best, self.best + WITHIN)


@dataclass(frozen=True)
class Night:
    """One night: our two choices, the fixed rules as run, and those estimated with each of them left out."""

    cabin: str
    chosen: dict[bool, Chosen]
    fixed: tuple[float, ...]
    fixed_left_out: tuple[float, ...]


class InMemory(dict[str, bytes]):
    """A cache that lasts as long as a cabin's nights."""

    def put(self, key: str, blob: bytes) -> None:
        """Keep it."""
        self[key] = blob


def run(options: Options) -> Iterator[str]:
    """The tables."""
    if options.quick:
        nights = nights_of("alder", (0, 6))
    else:
        every = 1 if options.all_nights else EVERY
        with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
            jobs = [pool.submit(nights_of, cabin, range(0, 999, every)) for cabin in cabins.CABINS]
            nights = [night for job in jobs for night in job.result()]
    yield f"{len(nights)} nights. What our choices would have cost is estimated in hindsight, never run.\n"
    yield from aims_table(list(aims(nights)))
    yield "\n### By cabin: mean degree-hours\n"
    yield from by_cabin(nights)


def nights_of(cabin: str, only: Sequence[int]) -> list[Night]:
    """Some nights of a cabin, by number, each from the rows that stood in the notebook then."""
    folder = cabins.FOLDER / cabin
    text = (folder / "description.toml").read_text(encoding="utf-8")
    description = parse_description(text, machine_zone="UTC")
    told_nights = json.loads((folder / "nights.json").read_text(encoding="utf-8"))["nights"]
    rows = (folder / "notebook.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    found, cache = [], Cache(InMemory())
    with (
        TemporaryDirectory(prefix="nightload-bench-") as place,
        cabins.log_at(Path(place), description, text) as log,
    ):
        for number in (n for n in only if n < len(told_nights)):
            night = told_nights[number]
            cabins.import_rows(log, rows, night["notebook_rows_before"], description)
            bed = cabins.instant(night["bed"], description)
            told = known(log, as_of=bed + cabins.ASKED_AFTER_BED)
            forecast = NightForecast(
                told=told, posterior=posterior_of(told, cache=cache), seed=seed_of(fingerprint(told))
            )
            found.append(judged(cabin, night, forecast, bed=bed))
    return found


def judged(cabin: str, night: dict[str, Any], forecast: NightForecast, *, bed: datetime) -> Night:
    """One night's choices and what they would have cost."""
    answers = {gets_up: answer_with(forecast, asked(night, forecast, gets_up)) for gets_up in BEST}
    begun = answers[False].night
    plans, came = were_run(night, begun.as_of)
    ours = [answers[gets_up].outcomes[0].plan for gets_up in BEST]
    paths = forecast([*plans, *ours], begun)
    indoor = np.asarray(paths.indoor_c, dtype=float)
    span = Span.of(paths.times, bed=bed)
    ran = Known(indoor[: len(came)], came)
    left_out = [estimate(indoor[i], ran.without(i), span).cost for i in range(len(came))]
    chosen = {}
    for place, gets_up in enumerate(BEST):
        at = len(came) - len(BEST) + place
        best = came[at].cost
        would = estimate(indoor[len(came) + place], ran, span)
        first = answers[gets_up].outcomes[0].choice
        chosen[gets_up] = Chosen(
            expected=first.degree_hours_outside,
            in_hindsight=would.cost,
            chance_near=would.chance_at_most(max(WITHIN_TIMES * best, best + WITHIN)),
            best=best,
            best_left_out=left_out[at],
            says_so=says_so(answers[gets_up]),
            wood_kg=first.wood_kg,
        )
    fixed = len(came) - len(BEST)
    return Night(cabin, chosen, tuple(r.cost for r in came[:fixed]), tuple(left_out[:fixed]))


def asked(night: dict[str, Any], forecast: NightForecast, gets_up: bool) -> Request:
    """The evening's question as an owner would put it."""
    return Request(
        as_of=forecast.told.as_of,
        night_low_c=night["forecast_low_c"],
        bed=time.fromisoformat(night["bed"][11:]),
        wake=time.fromisoformat(night["wake"][11:]),
        band_c=BAND_C,
        gets_up=gets_up,
    )


def says_so(answered: Answered) -> bool:
    """Whether the advice says that nothing clean holds the band."""
    said = answered.answer.advice
    return said.startswith(("Nothing clean", "No clean fire"))


def were_run(night: dict[str, Any], start: datetime) -> tuple[list[tuple[Entry, ...]], tuple[Run, ...]]:
    """The plans of a night that the engine ran: the fixed ones, then the best clean ones."""
    plans, came = [], []
    for plan in night["plans"]:
        plans.append(cabins.steps(plan, start))
        came.append(plan)
    for name in BEST.values():
        plans.append(clean_steps(night["best_clean"][name], start))
        came.append(night["best_clean"][name])
    ran = (Run(r["indoor_at_wake_c"], r["indoor_max_c"], r["degree_hours_outside_16_22"]) for r in came)
    return plans, tuple(ran)


def clean_steps(best: dict[str, Any], start: datetime) -> tuple[Entry, ...]:
    """A best clean plan as entries."""
    settled = best["air_pct"]
    entries = [Entry(at=start, window=Window.CRACKED if best["window_cracked"] else Window.SHUT)]
    if not best["kg"]:
        entries.append(Entry(at=start, air_open_pct=settled))
    for minute, kg in ((0, best["kg"]), (best["second_minutes_after_bed"], best["second_kg"])):
        if kg:
            at = start + timedelta(minutes=minute)
            entries.append(Entry(at=at, load_kg=kg, air_open_pct=WIDE_OPEN_PCT))
            entries.append(Entry(at=at + timedelta(minutes=WIDE_OPEN_MINUTES), air_open_pct=settled))
    return tuple(sorted(entries, key=lambda e: e.at))


def aims(nights: Sequence[Night]) -> Iterator[Aim]:
    """Figures, those with an aim beside it."""
    rule = min(np.mean([night.fixed for night in nights], axis=0))
    for gets_up, name, share in ((False, "one load", 2.0 / 3.0), (True, "two loads", 1.0 / 3.0)):
        chosen = [night.chosen[gets_up] for night in nights]
        cost, best = _mean([c.in_hindsight for c in chosen]), _mean([c.best for c in chosen])
        yield Aim(
            f"{name}: mean cost, estimated in hindsight",
            cost,
            " K·h",
            most=max(WITHIN_TIMES * best, best + WITHIN),
        )
        yield Aim(f"{name}: of the best fixed rule's", cost / rule, most=share)
        yield Aim(f"{name}: best clean plan with hindsight", best, " K·h")
        near = [c.in_hindsight <= c.limit for c in chosen]
        yield Aim(f"{name}: nights within 1.5 times or 4 K·h of it", 100 * _mean(near), " %", decimals=0)
        chance = 100 * _mean([c.chance_near for c in chosen])
        yield Aim(f"{name}: the same, by the estimate's spread", chance, " %", decimals=0)
        yield Aim(f"{name}: cost expected at bedtime", _mean([c.expected for c in chosen]), " K·h")
        yield Aim(f"{name}: wood a night", _mean([c.wood_kg for c in chosen]), " kg")
        missed = [c.best_left_out - c.best for c in chosen]
        yield Aim(f"{name}: the estimate's error on the best clean plan, rms", _rms(missed), " K·h")
        yield Aim(f"{name}: the same, mean", _mean(missed), " K·h")
        hard = [c.says_so for c in chosen if c.best > CANT_BE_HELD]
        if hard:
            yield Aim(f"{name}: says that nothing holds the band, of {len(hard)} such nights", sum(hard),
                      least=len(hard), decimals=0)  # fmt: skip
        held = [c.says_so for c in chosen if c.best < 1.0]
        if held:
            yield Aim(f"{name}: says so of {len(held)} nights that a clean plan held", sum(held), decimals=0)
    cheap = [(e - t) for n in nights for t, e in zip(n.fixed, n.fixed_left_out, strict=True) if e < 20.0]
    yield Aim("the estimate's error on fixed plans put below 20 K·h, rms", _rms(cheap), " K·h")
    yield Aim("the same, mean", _mean(cheap), " K·h")
    yield Aim("the best fixed rule", float(rule), " K·h")


def by_cabin(nights: Sequence[Night]) -> Iterator[str]:
    """Means of each cabin."""
    rows = []
    for cabin in dict.fromkeys(night.cabin for night in nights):
        some = [night for night in nights if night.cabin == cabin]
        cells = [cabin, str(len(some))]
        for gets_up in BEST:
            chosen = [night.chosen[gets_up] for night in some]
            cells += [
                f"{_mean([c.in_hindsight for c in chosen]):.1f}",
                f"{_mean([c.best for c in chosen]):.1f}",
            ]
        rows.append([*cells, f"{min(np.mean([night.fixed for night in some], axis=0)):.1f}"])
    return table(
        ("cabin", "nights", "one load", "best", "two loads", "best", "the cabin's best fixed rule"), rows
    )


def _mean(values: Sequence[float]) -> float:
    return float(np.mean(values)) if values else float("nan")


def _rms(values: Sequence[float]) -> float:
    return float(np.sqrt(np.mean(np.square(values)))) if values else float("nan")
