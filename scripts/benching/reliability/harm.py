"""Does any advice harm? Random cabins and evenings, hostile ones too, judged by rules written down anew here.

Nothing of ``heat/cautions`` or ``heat/ranking`` is asked: what must hold follows from the description, the
rows and the answer itself. Only what is left in the firebox, and whether something glows, is taken by the
program's own reckoning: nobody else knows.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import zip_longest
from multiprocessing import get_context

import numpy as np

from benching.options import Options
from benching.reliability.harm_cases import Case, cabin_alone, fitted_cabin, tested_cold
from benching.reliability.harm_journeys import judge_journeys
from benching.reliability.harm_words import FIRST_OF_ALL, PHRASES, reassuring, strings
from logbook.actions.tonight import Answered, answer_with
from logbook.as_json import tonight_json
from logbook.cli import evening_page
from logbook.cli.evening_page import evening_rows
from logbook.entry import read_plan
from logbook.errors import LogbookError
from logbook.heat.night import Paths
from logbook.heat.outcome import Outcome
from logbook.records import Entry
from logbook.results.night import Choice

ALONE, FITTED, EVENINGS = 20_000, 200, 100
DRAWS, ALL_DRAWS, ALL_DRAWS_EVERY = 48, 400, 50
"""Most cases take few draws; one in so many takes as many as the product does."""

CHUNK = 50
HOT_C, HOT_CHANCE = 28.0, 0.05
UP_AFTER = timedelta(minutes=35)
COLD_MINUTES = 22.0
"""How long the air stands wide after lighting a dead stove, min. The contract's figure."""

HOT_WITHOUT = 0.6
"""A room that gets too hot in this share of the draws with no more wood is hot; a little over a half, since
the program's share has the error of a peak in it."""

FULL_BED = 0.9
"""A bed this full of what the stove takes is full."""

TOLD_EVERY = 5

PROMISES = (
    "less air than the clean floor",
    "more than the stove's limit",
    "more than was tried",
    "closes a damper",
    "reload on a full bed",
    "wood under a nest",
    "more fire in a hot room",
    "a load in the night for who sleeps through",
    "hot first while a cooler one stands",
    "no fire is not among the choices",
    "a missing caution",
    "an alarm is not the first caution",
    "an alarm is not the first line",
    "reassuring",
)
"""What must never be, by the name its findings have."""

Finding = tuple[str, str]


@dataclass(frozen=True)
class Judged:
    """What was run and found wrong: kinds with their number, and one example of each."""

    counts: Counter[str]
    wrong: Counter[str]
    examples: dict[str, str]

    def add(self, more: Judged) -> None:
        """Take in more of it."""
        self.counts.update(more.counts)
        self.wrong.update(more.wrong)
        for name, example in more.examples.items():
            self.examples.setdefault(name, example)


def judge(case: Case) -> tuple[Counter[str], list[Finding]]:
    """One evening through tonight and, for some, a plan tried."""
    counts: Counter[str] = Counter(evenings=1)
    got = answer_with(case.forecast, case.request)
    found = [*_advice(case, got), *_said(case, got)]
    counts["choices"] += len(got.answer.choices)
    if case.tried is not None:
        tried = _tried(case)
        if tried is None:
            counts["plans refused"] += 1
        else:
            counts["plans tried"] += 1
            found += _said(case, tried)
    if case.travels:
        more, wrong = judge_journeys(case, must_say(case, got)[0], tried_cap_kg(case))
        counts += more
        found += wrong
    return counts, found


def _tried(case: Case) -> Answered | None:
    def plan(start: datetime) -> tuple[Entry, ...]:
        return read_plan(str(case.tried), start=start, setting=case.told.setting)

    try:
        return answer_with(case.forecast, replace(case.request, plan=plan))
    except LogbookError:
        return None


def _advice(case: Case, got: Answered) -> Iterator[Finding]:
    """What no advice may do, whatever it says beside it."""
    for out in got.outcomes:
        yield from _air(case, out)
        if any(e.flue_damper_open_pct is not None for e in out.plan):
            yield "closes a damper", str(out.plan)
    paths = case.forecast([o.plan for o in got.outcomes], got.night)
    yield from _wood(case, got, paths)
    yield from _first(case, got, paths)


def _air(case: Case, out: Outcome) -> Iterator[Finding]:
    floor = case.d.stove.clean_floor_open_pct
    for at, fire in zip(out.choice.hours, out.burning, strict=True):
        air = air_at(case, out.plan, max(at, case.told.as_of), unknown=100.0)
        if fire and air < floor - 0.01:
            yield "less air than the clean floor", f"{air} < {floor} at {at}, {out.plan}"
            return
    if any(load.air_open_pct < floor - 0.01 for load in out.choice.loads):
        yield "less air than the clean floor", str(out.choice.loads)


def air_at(case: Case, plan: tuple[Entry, ...], at: datetime, *, unknown: float = 0.0) -> float:
    """The lever at a time: as the plan set it last, else as the log has it; ``unknown`` when neither did."""
    told = sorted((e for e in case.told.entries), key=lambda e: e.at)
    set_to = [e.air_open_pct for e in (*told, *plan) if e.air_open_pct is not None and e.at <= at]
    return set_to[-1] if set_to else unknown


def damper_at(case: Case, plan: tuple[Entry, ...], at: datetime) -> float:
    """The flue damper likewise; open when nothing ever said."""
    told = sorted((e for e in case.told.entries), key=lambda e: e.at)
    set_to = [
        e.flue_damper_open_pct for e in (*told, *plan) if e.flue_damper_open_pct is not None and e.at <= at
    ]
    return set_to[-1] if set_to else 100.0


def _dry_share(case: Case) -> float:
    pile = case.d.wood
    share = pile.moisture_pct / 100.0
    return 1.0 - share if pile.moisture_basis == "wet" else 1.0 / (1.0 + share)


def tried_cap_kg(case: Case) -> float:
    """1.25 times the largest load on record from five on."""
    loads = [e.load_kg for e in case.told.entries if e.load_kg]
    return 1.25 * max(loads) if len(loads) >= 5 else float("inf")


def _wood(case: Case, got: Answered, paths: Paths) -> Iterator[Finding]:
    limit, cap = case.d.stove.max_load_kg, tried_cap_kg(case)
    left_kg = paths.left_kg_dry / _dry_share(case)
    for i, out in enumerate(got.outcomes):
        if case.nest and out.choice.loads:
            yield "wood under a nest", str(out.choice.loads)
        for load in out.choice.loads:
            before = max([k for k, at in enumerate(paths.times) if at < load.at], default=0)
            left = float(left_kg[0 if load.at <= paths.times[0] else i, before])
            if load.kg > limit + 1e-6 or left + load.kg > limit + 0.01:
                yield "more than the stove's limit", f"{left:.2f} + {load.kg} > {limit}"
            if load.kg > cap + 1e-6:
                yield "more than was tried", f"{load.kg} > {cap}"
            if left >= FULL_BED * limit:
                yield "reload on a full bed", f"{left:.2f} of {limit}, load {load.kg}"


def _gets_up(case: Case, got: Answered) -> bool:
    return case.d.comfort.gets_up if case.request.gets_up is None else case.request.gets_up


def _in_the_night(choice: Choice, got: Answered) -> bool:
    start = max(got.night.bed, got.night.as_of)
    return any(load.at > start + UP_AFTER for load in choice.loads)


def _first(case: Case, got: Answered, paths: Paths) -> Iterator[Finding]:
    first, others = got.outcomes[0], got.outcomes[1:]
    night, choice = got.night, first.choice
    sleeps = not _gets_up(case, got)
    if sleeps and _in_the_night(choice, got):
        yield "a load in the night for who sleeps through", str(choice.loads)
    settled = min(max(night.bed + timedelta(hours=1), night.as_of), night.wake)
    hot = _share_over(paths, HOT_C, settled, night.wake)
    idle = [o.choice for o in got.outcomes if not o.choice.loads and o.choice.window == "shut"]
    high = case.request.band_c[1] if case.request.band_c else case.d.comfort.band_c[1]
    allowed = [i for i, o in enumerate(got.outcomes) if not (sleeps and _in_the_night(o.choice, got))]
    if idle and idle[0].indoor_min_c.p50 >= high:  # more fire in a hot room is no cooler one to be had
        allowed = [i for i in allowed if not got.outcomes[i].choice.loads]
    cool = [i for i in allowed if hot[i] < HOT_CHANCE / 2 and got.outcomes[i].choice.indoor_max_c.p95 < HOT_C]
    if cool and (choice.indoor_max_c.p95 > HOT_C or hot[0] >= 2 * HOT_CHANCE):
        yield (
            "hot first while a cooler one stands",
            f"p95 {choice.indoor_max_c.p95:.1f}, {hot[0]:.2f}, cool {cool}",
        )
    if not idle:
        yield "no fire is not among the choices", str(others)
    if idle and choice.loads:
        now, least = idle[0].indoor_p50_c[0], idle[0].indoor_min_c.p50
        if now > high and least >= high:
            yield "more fire in a hot room", f"{now:.1f}, without a fire never under {least:.1f}, over {high}"
        idle_hot = hot[next(i for i, o in enumerate(got.outcomes) if o.choice is idle[0])]
        if idle_hot >= HOT_WITHOUT:
            yield "more fire in a hot room", f"hot without any in {idle_hot:.2f} of the draws"


def _share_over(paths: Paths, hot_c: float, settled: datetime, wake: datetime) -> list[float]:
    """For each choice, the share of draws whose room passes a temperature once it has settled."""
    span = np.array([settled <= at <= wake for at in paths.times])
    if not span.any():
        span[-1] = True
    return [float((course[:, span].max(axis=1) > hot_c).mean()) for course in paths.indoor_c]


# What must be said


def is_tried(got: Answered) -> bool:
    """Whether an answer tells of one plan as given."""
    return got.answer.advice.startswith("As given")


def must_say(case: Case, got: Answered) -> tuple[set[str], list[set[str]]]:
    """Names of what must be said with the answer, and with each choice: from rows, description and plan."""
    d, today = case.d, case.told.as_of.astimezone(case.told.zone).date()
    burns = any(o.choice.loads or any(o.burning) for o in got.outcomes)
    general = {"manual_first"}
    if not case.tested:
        general.add("alarms_untested")
    elif tested_cold(case):
        general.add("alarms_tested_cold")
    for name, day in (("smoke_expired", d.alarms.smoke_expires), ("co_expired", d.alarms.co_expires)):
        if day is not None and day <= today:
            general.add(name)
    if case.nest:
        general.add("nest_in_cap")
    if d.stove.clean_floor_assumed:
        general.add("floor_assumed")
    now = burning_now(got)
    if now and air_at(case, (), case.told.as_of, unknown=100.0) < d.stove.clean_floor_open_pct - 0.6:
        general.add("air_stands_low")
    if burns and damper_at(case, (), case.told.as_of) < 99.0:
        general.add("damper_stands")
    if _hardly_burns(case):
        general.add("fresh_load")
    if burns or _just_loaded(case):
        general.add("coals_give_co")
        if 1.0 - _dry_share(case) > 0.2001:
            general.add("damp_wood")
    return general, [_with_choice(case, got, o) for o in got.outcomes]


def burning_now(got: Answered) -> bool:
    """Whether something burns or glows as the question is asked."""
    return any(o.burning[0] for o in got.outcomes)


def _just_loaded(case: Case) -> bool:
    """A good load within the half hour must burn still, if no later row says otherwise."""
    rows = [e for e in case.told.entries if case.told.as_of - e.at <= timedelta(minutes=30)]
    return any((e.load_kg or 0.0) > 1.0 for e in rows) and not any(e.fire_out or e.coals for e in rows)


def _hardly_burns(case: Case) -> bool:
    """Whether the last load went in less than its wide-open time ago, and nobody set its air since."""
    rows = sorted(case.told.entries, key=lambda e: e.at)
    last = max((n for n, e in enumerate(rows) if e.load_kg), default=None)
    if last is None or any(e.air_open_pct is not None or e.fire_out for e in rows[last + 1 :]):
        return False
    wide = case.d.stove.open_minutes
    minutes = max(COLD_MINUTES, wide) if rows[last].kindling else wide
    return case.told.as_of - rows[last].at < timedelta(minutes=minutes)


def _with_choice(case: Case, got: Answered, out: Outcome) -> set[str]:
    d, choice = case.d, out.choice
    limit, floor = d.stove.max_load_kg, d.stove.clean_floor_open_pct
    must: set[str] = set()
    biggest = max((load.kg for load in choice.loads), default=0.0)
    if biggest > limit + 1e-3:
        must |= {"over_limit"}
        if biggest > 1.03 * limit:
            must |= {"overfilled"}
    if biggest > tried_cap_kg(case) + 1e-3:
        must.add("beyond_tried")
    loads = [e.at for e in out.plan if e.load_kg]
    begin = got.night.as_of
    glowing = [max(at, begin) for at, fire in zip(choice.hours, out.burning, strict=True) if fire] + loads
    if case.tried and is_tried(got) and any(air_at(case, out.plan, at) < floor - 1.0 for at in glowing):
        must.add("below_floor")
    names = any(e.flue_damper_open_pct is not None for e in out.plan)
    if names and any(damper_at(case, out.plan, at) < 99.0 for at in glowing):
        must.add("damper_on_coals")
    if choice.indoor_max_c.p95 > HOT_C + 0.3:
        must.add("too_hot")
    if choice.loads and choice.loads[0].kindling:
        must.add("cold_start")
    own = any(e.air_open_pct is not None and not e.load_kg for e in out.plan)
    if choice.loads and not any(load.kindling for load in choice.loads) and not own:
        must.add("turn_down")
    if _in_the_night(choice, got):
        must.add("in_the_night")
    frosty = min(choice.indoor_p05_c) <= 3.0 or (not choice.loads and min(out.outdoor_c) <= -6.7)
    if d.cabin.water == "in" and frosty:
        must.add("freezing")
    return must


def _said(case: Case, got: Answered) -> Iterator[Finding]:
    """Every caution where it must be, on the command's page and in JSON; nothing reassuring in either."""
    general, each = must_say(case, got)
    answer = got.answer
    said = tonight_json(answer, zone=case.told.zone, from_description_only=got.from_description_only)
    page = list(evening_rows(got, case.told, columns=100))
    one_line = " ".join(" ".join(page).split())
    for name in sorted(general):
        if not any(PHRASES[name] in text for text in said["cautions"]):
            yield f"missing: {name}", f"JSON: {said['cautions']}"
        if PHRASES[name] not in one_line:
            yield f"missing: {name}", "command"
    for must, choice in zip(each, said["choices"], strict=True):
        for name in sorted(must):
            if not any(PHRASES[name] in text for text in choice["cautions"]):
                yield f"missing: {name}", f"{case.tried}: {choice['cautions']}"
            if PHRASES[name] not in one_line:
                yield f"missing: {name}", "command"
    alarms = {PHRASES[n] for n in general & FIRST_OF_ALL}
    if alarms and not any(phrase in said["cautions"][0] for phrase in alarms):
        yield "an alarm is not the first caution", said["cautions"][0]
    if alarms and not any(phrase in " ".join(" ".join(page[:3]).split()) for phrase in alarms):
        yield "an alarm is not the first line", page[0]
    for text in (*strings(said), one_line):
        if (bad := reassuring(text)) is not None:
            yield "reassuring", bad


# Many of them


def run(options: Options) -> Iterator[str]:
    """A row for each thing that must not be, over all evenings, and one for what was asked."""
    jobs = list(_jobs(options))
    whole = Judged(Counter(), Counter(), {})
    with ProcessPoolExecutor(1 if options.quick else 2, mp_context=get_context("spawn")) as pool:
        for number, part in enumerate(pool.map(many, jobs), start=1):
            for name, example in part.examples.items():
                print(f"harm: {name}: {example}", file=sys.stderr, flush=True)
            whole.add(part)
            if number % TOLD_EVERY == 0:
                so_far = f"{dict(whole.counts)} {dict(whole.wrong)}"
                print(f"harm: {number}/{len(jobs)} {so_far}", file=sys.stderr, flush=True)
    yield from rows(whole, seed=options.seed)


def rows(whole: Judged, *, seed: int) -> Iterator[str]:
    """The table's rows: every promise with its number of breaches."""
    asked = whole.counts["evenings"]
    detail = ", ".join(
        f"{count} {name}" for name, count in sorted(whole.counts.items()) if name != "evenings"
    )
    found = sum(whole.wrong.values())
    yield f"| harm: evenings asked about ({detail}) | {asked} | {seed} | {found} breaches |"
    said = Counter(dict.fromkeys(PROMISES, 0))
    for name, count in whole.wrong.items():
        said["a missing caution" if name.startswith("missing") else name] += count
    for name, count in said.items():
        yield f"| harm: {name} | {asked} | {seed} | {count} |"


def _jobs(options: Options) -> Iterator[tuple[str, int, int, int]]:
    """Chunks of cabins alone and fitted logs by turns, so that a run cut short has both."""
    alone = options.how_many(ALONE, quick=10)
    logs = -(-options.how_many(FITTED * EVENINGS, quick=EVENINGS) // EVENINGS)
    chunks = [("alone", options.seed, at, min(at + CHUNK, alone)) for at in range(0, alone, CHUNK)]
    fitted = [("fitted", options.seed, at, at + 1) for at in range(logs)]
    for pair in zip_longest(chunks, fitted):
        yield from (job for job in pair if job is not None)


def many(which: tuple[str, int, int, int]) -> Judged:
    """One chunk: its kind, the seed, the first number and the one after the last."""
    # The chart has no words, and takes as long as all else.
    evening_page.night_chart = lambda *_, **__: ""  # type: ignore[assignment]
    kind, seed, first, last = which
    judged = Judged(Counter(), Counter(), {})
    for number in range(first, last):
        for case in _cases(kind, seed, number):
            try:
                counts, found = judge(case)
            except Exception as error:  # noqa: BLE001 - whatever breaks is a finding
                counts, found = Counter(evenings=1), [(f"raised {type(error).__name__}", repr(error))]
            names = {name: f"{case.name}: {detail}"[:600] for name, detail in found}
            judged.add(Judged(counts, Counter(list(names)), names))
    return judged


def _cases(kind: str, seed: int, number: int) -> Iterator[Case]:
    draws = ALL_DRAWS if number % ALL_DRAWS_EVERY == 0 else DRAWS
    if kind == "alone":
        yield cabin_alone(seed, number, draws=draws)
    else:
        yield from fitted_cabin(seed, number, evenings=EVENINGS, draws=draws)
