"""Random histories on two to four computers: one log in any order; what both changed holds or is listed."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "scripts"))

from benching.reliability import merges  # noqa: E402 - found by the line above

HISTORIES = 36
"""The long run has 10,000: ``scripts/bench.py reliability:merges``."""


@pytest.fixture(scope="module")
def blank() -> bytes:
    return merges.blank_log()


@pytest.mark.parametrize("third", range(3))
def test_any_history_merges_to_one_log_in_any_order_and_loses_nothing(blank: bytes, third: int) -> None:
    for n in range(third, HISTORIES, 3):
        trouble, _ = merges.one(random.Random(f"tests {n}"), blank, on_disk=n % 12 == 0)
        assert not trouble, f"history {n}: {trouble[0]}"


def test_what_one_side_goes_back_to_may_be_settled_by_another(blank: bytes) -> None:
    """Found by history 22 of seed 7: the entry is listed, though that side's claim was settled elsewhere."""
    assert merges.one(random.Random("7 22"), blank)[0] == []


def test_the_histories_meet_conflicts(blank: bytes) -> None:
    assert sum(merges.one(random.Random(f"tests {n}"), blank)[1] for n in range(6)) > 3, "or nothing is shown"
