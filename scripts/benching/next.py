"""Does the observation that the program asks for narrow the range as it said? On the practice cabins."""

from __future__ import annotations

import sys
from collections.abc import Iterator

from benching.parts import ROOT, Options
from benching.table import table

COLUMNS = ("expected_pct", "narrower_pct", "rmse_before_k", "rmse_after_k", "held_pct")


def run(options: Options) -> Iterator[str]:
    """The table."""
    place = ROOT / "tests" / "heat"
    if not (place / "next_reading_practice.py").exists():
        yield "Left out: not in this copy of the project."
        return
    sys.path.insert(0, str(place))
    from next_reading_practice import CABINS, figures  # noqa: PLC0415 - stands beside the tests

    if options.quick:
        found = figures(100, draws=60, cabins=CABINS[:1])
    else:
        found = figures(1, draws=400)
    notes = [key.removesuffix("_nights") for key in found if key.endswith("_nights")]
    rows = [[note, f"{found[f'{note}_nights']:.0f}", *(f"{found[f'{note}_{c}']:.1f}" for c in COLUMNS)]
            for note in notes]  # fmt: skip
    yield from table(
        ("observation", "nights", "expected narrower, %", "narrower, %", "rmse before, K", "rmse after, K",
         "held after, %"), rows)  # fmt: skip
