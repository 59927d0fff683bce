"""Outcomes -> figures: how far the middle was off, how often the range held, how wide it was."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from benching.cabins import CABINS, LIVED, Outcome
from benching.table import NOT_MET, table

LEAST_HELD, GROUP = 0.75, 20
"""No kind of night with so many outcomes may be held less often."""


@dataclass(frozen=True)
class Score:
    """Figures of some outcomes: K, and a share."""

    count: int
    rmse_k: float
    bias_k: float
    held: float
    width_k: float
    interval_k: float

    def cells(self, *, judged: bool = True) -> list[str]:
        """As cells of a table; a kind of night held too seldom is marked, unless it can't be judged."""
        if not self.count:
            return ["–"] * 4
        mark = f" {NOT_MET}" if judged and self.count >= GROUP and self.held < LEAST_HELD else ""
        return [
            f"{self.rmse_k:.2f} ({self.bias_k:+.2f})",
            f"{self.held:.0%}{mark}",
            f"{self.width_k:.1f}",
            f"{self.interval_k:.1f}",
        ]


def score(outcomes: Sequence[Outcome], *, peak: bool = False) -> Score:
    """Figures at waking, or of the peak.

    ``interval_k`` is the interval score of the 90 % range: its width plus 20 times what the truth lies
    outside by. Source: Gneiting and Raftery 2007, from memory. Smaller is better; honesty and width in one.
    """
    if not outcomes:
        return Score(0, *[float("nan")] * 5)
    told = np.array([o.peak if peak else o.wake for o in outcomes])
    came = np.array([o.peaked_c if peak else o.woke_c for o in outcomes])
    low, middle, high = told.T
    outside = np.maximum(low - came, 0.0) + np.maximum(came - high, 0.0)
    return Score(
        count=len(outcomes),
        rmse_k=float(np.sqrt(np.mean((middle - came) ** 2))),
        bias_k=float(np.mean(middle - came)),
        held=float(np.mean(outside == 0.0)),
        width_k=float(np.mean(high - low)),
        interval_k=float(np.mean(high - low + 20.0 * outside)),
    )


Wanted = Callable[[Outcome], bool]


def kinds() -> dict[str, dict[str, Wanted]]:
    """Kinds of nights and plans, by what they are told apart."""

    def of(name: str, value: object) -> Wanted:
        return lambda o: bool(getattr(o, name) == value)

    def between(name: str, low: float, high: float) -> Wanted:
        return lambda o: low <= getattr(o, name) < high

    return {
        "cabin": {cabin: of("cabin", cabin) for cabin in CABINS},
        "stay": {
            "first stay": between("stay", 1, 2),
            "stays 2–5": between("stay", 2, 6),
            "stays 6 on": between("stay", 6, 1e9),
        },
        "load": {
            "no load": of("load_share", 0.0),
            "up to a third": lambda o: 0.0 < o.load_share <= 0.35,
            "a third to 70 %": lambda o: 0.35 < o.load_share <= 0.7,
            "over 70 %": lambda o: o.load_share > 0.7,
        },
        "air": {
            "air up to 10 %": between("air_pct", 0.0, 10.5),
            "air 11–30 %": between("air_pct", 10.5, 30.5),
            "air over 30 %": between("air_pct", 30.5, 101.0),
        },
        "night": {"first night": of("first_night", True), "later night": of("first_night", False)},
        "stove": {
            "stove dead at bed": of("dead", True),
            "after a reload": of("reloaded", True),
            "neither": lambda o: not (o.dead or o.reloaded),
        },
        "notebook": {"after a load never written": of("forgot_before", True)},
    }


def told_apart(outcomes: Sequence[Outcome], name: str, wanted: Wanted) -> list[list[str]]:
    """Two rows of a table: lived nights and fixed plans of one kind."""
    rows = []
    for who, own in (("lived", is_lived), ("plans", is_plan)):
        some = [o for o in outcomes if own(o) and wanted(o)]
        rows.append([name, who, str(len(some)), *score(some).cells(), *score(some, peak=True).cells()])
    return [row for row in rows if row[2] != "0"]


HEADER = ("kind", "", "n", "wake rmse (bias) K", "held", "width K", "score", "peak rmse (bias) K", "held",
          "width K", "score")  # fmt: skip


def kinds_table(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """Every kind of night, lived and planned apart; then each fixed plan."""
    rows = told_apart(outcomes, "all", lambda _: True)
    for group in kinds().values():
        for name, wanted in group.items():
            rows += told_apart(outcomes, name, wanted)
    acted = [o for o in outcomes if o.acted]
    if acted:
        cells = [*score(acted).cells(judged=False), *score(acted, peak=True).cells(judged=False)]
        rows.append(["somebody acted in the night", "lived", str(len(acted)), *cells])
    for plan in sorted({o.plan for o in outcomes if is_plan(o)}):
        rows += told_apart(outcomes, plan, partial(_has_plan, plan))
    return table(HEADER, rows)


def known_table(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """What a forecast would still miss by if cabin and stove were known, beside what it did miss by."""
    rows = []
    for name, wanted in {"all": lambda _: True, **kinds()["stay"]}.items():
        for who, own in (("lived", is_lived), ("plans", is_plan)):
            some = [o for o in outcomes if own(o) and wanted(o) and o.spread is not None]
            if some:
                rows.append([name, who, str(len(some)), *_missed(some)])
    return table(
        ("kind", "", "n", "wake: missed by, K", "its own sd", "were all known", "peak: missed by, K",
         "its own sd", "were all known"), rows)  # fmt: skip


def _missed(some: Sequence[Outcome]) -> list[str]:
    sds = np.array([[o.spread.wake_k, o.spread.known_wake_k, o.spread.peak_k, o.spread.known_peak_k]
                    for o in some if o.spread])  # fmt: skip
    wake, known_wake, peak, known_peak = np.sqrt(np.mean(sds**2, axis=0))
    figures = (score(some).rmse_k, wake, known_wake, score(some, peak=True).rmse_k, peak, known_peak)
    return [f"{figure:.2f}" for figure in figures]


def _has_plan(plan: str, outcome: Outcome) -> bool:
    return outcome.plan == plan


def held_too_seldom(outcomes: Sequence[Outcome]) -> list[str]:
    """Kinds of nights, in words, whose ranges hold less than they must."""
    found = []
    for group in kinds().values():
        for name, wanted in group.items():
            for who, own in (("lived", is_lived), ("plans", is_plan)):
                some = [o for o in outcomes if own(o) and wanted(o)]
                for what, peak in (("wake", False), ("peak", True)):
                    got = score(some, peak=peak)
                    if got.count >= GROUP and got.held < LEAST_HELD:
                        found.append(f"{name}, {who}, {what}: {got.held:.0%} of {got.count}")
    return found


def is_lived(outcome: Outcome) -> bool:
    """A night lived as it was planned: nobody did anything later."""
    return outcome.plan == LIVED and not outcome.acted


def is_plan(outcome: Outcome) -> bool:
    """A fixed plan that nobody lived."""
    return outcome.plan != LIVED
