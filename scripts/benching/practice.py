"""Five practice cabins: every night forecast from what was known then, lived and planned, two notebooks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from benching.cabins import ALONE, CABINS, FULL, SPARSE, Judged, Outcome, judge
from benching.options import Options
from benching.scores import held_too_seldom, is_lived, is_plan, kinds_table, known_table, score
from benching.table import NOT_MET, Aim, aims_table, table
from logbook.results.night import Range

PROCESSES = 2


def run(options: Options) -> Iterator[str]:
    """The tables."""
    found = judged(quick=options.quick)
    by_notebook = {name: [o for j in some for o in j.outcomes] for name, some in found.items()}
    yield from aims_table(list(aims(by_notebook, found[FULL])))
    for name, outcomes in by_notebook.items():
        seldom = held_too_seldom(outcomes)
        yield f"\n### {name}\n"
        yield from kinds_table(outcomes)
        yield ""
        yield (f"Held less than 75 %: {'; '.join(seldom)} {NOT_MET}" if seldom else
               "No kind of night with 20 or more is held less than 75 %.")  # fmt: skip
    yield "\n### Were cabin and stove known, full notebook\n"
    yield from known_table(by_notebook[FULL])
    for name in (FULL, SPARSE):
        if any(j.learned for j in found.get(name, ())):
            yield f"\n### Learned at the end, {name} notebook\n"
            yield from learned_table(found[name])


def judged(*, quick: bool) -> dict[str, list[Judged]]:
    """Every cabin with every notebook; a miniature takes two nights of one."""
    cabins = ("alder",) if quick else CABINS
    notebooks = (FULL,) if quick else (FULL, SPARSE, ALONE)
    only = (0, 6) if quick else None
    jobs = [(cabin, notebook, only) for notebook in notebooks for cabin in cabins]
    if quick:
        done = [judge(*job) for job in jobs]
    else:
        with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
            done = list(pool.map(judge, *zip(*jobs, strict=True)))
    return {name: [j for j, (_, n, _) in zip(done, jobs, strict=True) if n == name] for name in notebooks}


def aims(found: dict[str, list[Outcome]], cabins: Sequence[Judged]) -> Iterator[Aim]:
    """Figures with an aim."""
    full = found[FULL]
    lived, plans = [o for o in full if is_lived(o)], [o for o in full if is_plan(o)]
    yield from _held("lived nights, waking", lived, rmse=1.7, width=6.5)
    yield from _held("four fixed plans, waking", plans, rmse=2.0)
    yield from _held("four fixed plans, peak", plans, rmse=2.4, peak=True)
    if SPARSE in found:
        sparse = [o for o in found[SPARSE] if is_lived(o)]
        yield from _held("sparse notebook, lived, waking", sparse, rmse=2.3)
    first = [o for o in full if o.stay == 1 and not o.acted]
    yield from _held("first stay, lived and planned, waking", first)
    if ALONE in found:
        alone = [o for o in found[ALONE] if not o.acted]
        yield from _held("description alone, lived and planned, waking", alone)
    learned = [j for j in cabins if j.learned is not None]
    if learned:
        losses = [_inside(j.learned.heat_loss_w_per_k, j.truth["heat_loss_w_per_k"]) for j in learned
                  if j.learned]  # fmt: skip
        near = [_off(j.learned.time_constant_h, j.truth["time_constant_h"]) <= 0.25 for j in learned
                if j.learned]  # fmt: skip
        yield Aim(f"heat loss inside its range, of {len(learned)}", sum(losses), least=0.75 * len(learned))
        yield Aim(f"time constant within 25 %, of {len(learned)}", sum(near), least=0.875 * len(learned))


def _held(
    name: str,
    outcomes: Sequence[Outcome],
    *,
    rmse: float | None = None,
    width: float | None = None,
    peak: bool = False,
) -> Iterator[Aim]:
    got = score(outcomes, peak=peak)
    if rmse is not None:
        yield Aim(f"{name}: rmse", got.rmse_k, " K", most=rmse)
    yield Aim(f"{name}: held", 100.0 * got.held, " %", least=83.0, most=97.0, decimals=0)
    yield Aim(f"{name}: width", got.width_k, " K", most=width, decimals=1)


def learned_table(cabins: Sequence[Judged]) -> Iterator[str]:
    """Heat loss and time constant of each cabin against the truth."""
    rows = []
    for j in cabins:
        assert j.learned is not None
        for what, got, true in (
            ("heat loss, W/K", j.learned.heat_loss_w_per_k, j.truth["heat_loss_w_per_k"]),
            ("time constant, h", j.learned.time_constant_h, j.truth["time_constant_h"]),
        ):
            told = "not told" if got is None else f"{got.p05:.1f} – **{got.p50:.1f}** – {got.p95:.1f}"
            rows.append([j.cabin, what, told, f"{true:.1f}", f"{_off(got, true):.0%}",
                         "inside" if _inside(got, true) else "outside"])  # fmt: skip
    return table(("cabin", "figure", "5 % – middle – 95 %", "truth", "middle off by", ""), rows)


def _inside(got: Range | None, true: float) -> bool:
    return got is not None and got.p05 <= true <= got.p95


def _off(got: Range | None, true: float) -> float:
    return float("nan") if got is None else abs(got.p50 / true - 1.0)
