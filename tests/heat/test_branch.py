"""What of the array pass can be checked alone: the middle of the masses left."""

from __future__ import annotations

import numpy as np
import pytest

from logbook.heat.branch import STEPS_OF_MASS, _each, _middle


@pytest.mark.parametrize("largest_kg", [0.01, 3.0, 40.0])
def test_middle_of_the_draws_is_that_of_a_full_sort_to_a_step(largest_kg):
    """Draws chosen twice count twice; the order of 75 of them, sorted in full, is the reference."""
    rng = np.random.default_rng(8)
    left = (largest_kg * rng.beta(0.5, 2.0, (5, 7, 40))).astype(np.float32)
    back = rng.integers(0, 40, 75)
    exact = np.sort(left[:, :, back], axis=2)[:, :, 37].T
    assert np.abs(_middle(left, back) - exact).max() <= 0.51 * left.max() / STEPS_OF_MASS


def test_an_empty_stove_has_nothing_left():
    assert (_middle(np.zeros((2, 3, 4), dtype=np.float32), np.arange(4)) == 0.0).all()


def test_steps_fit_two_bytes():
    assert np.iinfo(np.uint16).max >= STEPS_OF_MASS + 1


@pytest.mark.parametrize("blocks", [1, 2, 7])
def test_every_block_of_plans_is_run_once_and_an_error_in_one_is_not_lost(blocks):
    """Several blocks run side by side; a fault in any of them must not become rows that were never filled."""
    done = []
    _each(done.append, [slice(n, n + 1) for n in range(blocks)])
    assert sorted(block.start for block in done) == list(range(blocks))

    def fails(block):
        if block.start == blocks - 1:
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        _each(fails, [slice(n, n + 1) for n in range(blocks)])
