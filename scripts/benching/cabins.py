"""The practice cabins through the product's own way: rows into a log, what is known of it, a forecast.

For every night only the rows that stood in the notebook then are imported; what came of the night is read
only to judge the forecast.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from benching.parts import ROOT
from logbook.actions.reckoning import Known, NightForecast, fingerprint, known, posterior_of, seed_of
from logbook.description import parse_description
from logbook.heat.fit import Posterior, summary
from logbook.heat.night import Evening, Paths
from logbook.heat.ranking import figures
from logbook.records import Description, Entry, Mark
from logbook.results.night import FitAnswer
from logbook.setting import setting_of
from logbook.store.importing import import_table
from logbook.store.log import Log, open_log

FOLDER = ROOT / "tests" / "practice"
CABINS = ("alder", "cedar", "hazel", "rowan", "tamarack")

FULL, SPARSE, ALONE = "full", "sparse", "description alone"
NOTEBOOKS = {FULL: ("notebook.csv", "notebook"), SPARSE: ("notebook_sparse.csv", "sparse")}

ASKED_AFTER_BED = timedelta(minutes=2)
"""A bedtime row may be stamped a minute or two after bed: the question comes then."""

END_OF_DAYS = datetime.max.replace(tzinfo=UTC)
"""The clock of an import: every row is in its past."""

PEAK_FROM = timedelta(hours=1)
"""The peaks that the engine wrote down leave out the first hour after bed."""

RELOAD_WITHIN = timedelta(hours=3)
"""A load, not a cold start, this long before bed counts as a reload."""

LIVED = "lived"


@dataclass(frozen=True)
class Spread:
    """Standard deviations of one forecast at waking and of its peak, K; the second pair is what would be left
    of them if cabin and stove were known: the weather ahead, how a load burns, an uneven room."""

    wake_k: float
    peak_k: float
    known_wake_k: float
    known_peak_k: float


@dataclass(frozen=True)
class Outcome:
    """One plan of one night: ranges of the forecast (5, 50, 95 %) and what came, °C."""

    cabin: str
    notebook: str
    night: str
    stay: int
    plan: str
    acted: bool
    load_share: float
    air_pct: float
    first_night: bool
    dead: bool
    reloaded: bool
    forgot_before: bool
    wake: tuple[float, float, float]
    woke_c: float
    peak: tuple[float, float, float]
    peaked_c: float
    spread: Spread | None = None


@dataclass(frozen=True)
class Judged:
    """One cabin with one notebook: its outcomes, and at the end what was learned of it."""

    cabin: str
    outcomes: tuple[Outcome, ...]
    learned: FitAnswer | None
    truth: dict[str, Any]


def judge(cabin: str, notebook: str, only: Sequence[int] | None = None) -> Judged:
    """Forecast every night of a cabin, or only some of them by number."""
    folder = FOLDER / cabin
    text = (folder / "description.toml").read_text(encoding="utf-8")
    description = parse_description(text, machine_zone="UTC")
    nights = json.loads((folder / "nights.json").read_text(encoding="utf-8"))["nights"]
    file, key = NOTEBOOKS.get(notebook, NOTEBOOKS[FULL])
    table = (folder / file).read_text(encoding="utf-8").splitlines(keepends=True)
    found: list[Outcome] = []
    told = None
    with (
        TemporaryDirectory(prefix="nightload-bench-") as place,
        log_at(Path(place), description, text) as log,
    ):
        for number, night in enumerate(nights):
            if only is not None and number not in only:
                continue
            import_rows(log, table, night[f"{key}_rows_before"], description)
            bed, wake = (instant(night[name], description) for name in ("bed", "wake"))
            told = known(log, as_of=bed + ASKED_AFTER_BED)
            forgot = number > 0 and _forgot(table, nights[number - 1], key)
            found += _night(told, night, cabin, notebook, bed=bed, wake=wake, forgot=forgot)
        learned = None
        if only is None and notebook in NOTEBOOKS:
            import_rows(log, table, len(table) - 1, description)
            told = known(log, as_of=END_OF_DAYS - timedelta(days=2))
            learned = summary(posterior_of(told))
    truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
    return Judged(cabin, tuple(found), learned, truth)


def log_at(place: Path, description: Description, text: str) -> Log:
    """A log with its description."""
    log = open_log(place / "bench.db", now=lambda: datetime(2000, 1, 1, tzinfo=UTC))
    log.add_description(description, source=text)
    return log


def import_rows(log: Log, table: Sequence[str], rows: int, description: Description) -> None:
    """The header and the first rows; those in the log already add nothing."""
    data = "".join(table[: rows + 1]).encode()
    import_table(log, data, setting=setting_of(description), now=END_OF_DAYS, strict=True)


def instant(local: str, description: Description) -> datetime:
    """A local time of the practice cabins as an instant."""
    return datetime.fromisoformat(local).replace(tzinfo=ZoneInfo(description.site.timezone)).astimezone(UTC)


def _forgot(table: Sequence[str], night: dict[str, Any], key: str) -> bool:
    """Whether that night's load was never written down."""
    column = table[0].rstrip("\n").split(",").index("load_kg")
    written = table[1 + night[f"{key}_rows_before"] : 1 + night[f"{key}_rows_after_load"]]
    just_before = table[max(1, night[f"{key}_rows_before"] - 2) : 1 + night[f"{key}_rows_before"]]
    loads = [row.split(",")[column] for row in (*just_before, *written)]
    return night["load_kg"] > 0 and not any(loads)


def _night(
    told: Known,
    night: dict[str, Any],
    cabin: str,
    notebook: str,
    *,
    bed: datetime,
    wake: datetime,
    forgot: bool,
) -> Iterator[Outcome]:
    learned_from = replace(told, entries=()) if notebook == ALONE else told
    seed = seed_of(fingerprint(told))
    forecast = NightForecast(told=told, posterior=posterior_of(learned_from), seed=seed)
    were_known = NightForecast(told=told, posterior=all_known(forecast.posterior), seed=seed)
    evening = Evening(as_of=told.as_of, bed=bed, wake=wake, night_low_c=night["forecast_low_c"])
    lived = Entry(at=told.as_of, load_kg=night["load_kg"] or None, air_open_pct=night["air_pct"])
    plans = [(lived,), *(steps(plan, told.as_of) for plan in night["plans"])]
    paths = forecast([*plans, ()], evening)
    known_paths = were_known([*plans, ()], evening)
    dead = bool(paths.fire[-1, 0] == 0)
    came = [night, *night["plans"]]
    for number, (came_of, plan) in enumerate(zip(came, plans, strict=True)):
        wake_range, peak_range = _ranges(paths, number, bed)
        kg = sum(entry.load_kg or 0.0 for entry in plan)
        yield Outcome(
            cabin=cabin,
            notebook=notebook,
            night=night["night"],
            stay=int(night["stay"].lstrip("S")),
            plan=came_of["name"] if number else LIVED,
            acted=bool(night["acted_in_the_night"]) and number == 0,
            load_share=kg / told.description.stove.max_load_kg,
            air_pct=float(plan[-1].air_open_pct or 0.0),
            first_night=night["night"].endswith("N1"),
            dead=dead,
            reloaded=_reloaded(told, bed),
            forgot_before=forgot,
            wake=wake_range,
            woke_c=came_of["indoor_at_wake_c"],
            peak=peak_range,
            peaked_c=came_of["indoor_max_c"],
            spread=Spread(*_sd_k(paths, number), *_sd_k(known_paths, number)),
        )


def all_known(posterior: Posterior) -> Posterior:
    """As if nothing about cabin and stove were open: every draw is the likeliest."""
    return replace(posterior, z=np.repeat(posterior.mode[None, :], len(posterior.z), axis=0))


def _sd_k(paths: Paths, plan: int) -> tuple[float, float]:
    later = [at - paths.times[0] >= PEAK_FROM for at in paths.times]
    course = paths.indoor_c[plan]
    return float(course[:, -1].std()), float(course[:, later].max(axis=1).std())


def steps(plan: dict[str, Any], start: datetime) -> tuple[Entry, ...]:
    """A fixed plan as entries: at which minute, how many kg, the air then."""
    return tuple(
        Entry(at=start + timedelta(minutes=minute), load_kg=kg or None, air_open_pct=float(air))
        for minute, kg, air in plan["minutes_kg_air_pct"]
    )


def _ranges(
    paths: Paths, plan: int, bed: datetime
) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Waking and peak as the product tells them: the ranking's own figures."""
    got = figures(
        paths.indoor_c[plan : plan + 1],
        paths.times,
        as_of=paths.times[0],
        bed=bed,
        wake=paths.times[-1],
        band_c=(16.0, 22.0),
    )
    wake, peak = (tuple(float(x) for x in part[0]) for part in (got.wake, got.high))
    return wake, peak  # type: ignore[return-value] - three percentiles each


def _reloaded(told: Known, bed: datetime) -> bool:
    arrived = max((e.at for e in told.entries if e.mark is Mark.ARRIVED), default=bed)
    return any(
        e.load_kg and not e.kindling and max(arrived, bed - RELOAD_WITHIN) <= e.at <= bed
        for e in told.entries
    )
