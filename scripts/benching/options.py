"""What the parts of the benchmark are told."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Options:
    """``quick`` makes each part a miniature that shows it runs, not a figure to quote; ``all_nights`` takes
    every practice night for the advice, not every third; ``seed`` starts the dice of the reliability part,
    ``cases`` takes the place of each attempt's own number of cases, ``first`` is the case to begin at where
    an attempt can, ``attempts`` names some of them."""

    data: Path | None
    quick: bool
    all_nights: bool = False
    seed: int = 1
    cases: int | None = None
    first: int = 0
    attempts: tuple[str, ...] = ()

    def how_many(self, full: int, *, quick: int) -> int:
        """How many cases to run: as asked for, else ``full``, or ``quick`` in a miniature."""
        if self.cases is not None:
            return self.cases
        return quick if self.quick else full
