"""Answers at the edge of what can be said: nothing is offered, or promised, where there is nothing."""

from __future__ import annotations

import numpy as np
import pytest

from logbook.heat.candidates import sizes
from logbook.heat.summary import cannot_tell
from logbook.heat.without_fire import Cooling

HOURS = np.arange(0.0, 10.0)


def straight(*lost_k_per_h: float) -> Cooling:
    """Draws that cool from 10 °C on straight lines."""
    return Cooling(HOURS, np.array([10.0 - rate * HOURS for rate in lost_k_per_h]))


def test_hours_until_a_temperature_are_those_of_the_draws() -> None:
    found = straight(2.0, 2.5, 5.0).until(0.0)  # 10 K at so many K/h: 5, 4 and 2 h
    assert found is not None
    assert found.p50 == 4.0
    assert 2.0 <= found.p05 < found.p50 < found.p95 <= 5.0


def test_no_hour_is_named_where_more_than_one_draw_in_twenty_never_gets_there() -> None:
    never, soon = 0.1, 5.0
    assert straight(never).until(0.0) is None
    assert straight(*[soon] * 18, never, never).until(0.0) is None
    some = straight(*[soon] * 19, never).until(0.0)
    assert some is not None
    assert some.p50 == 2.0


def test_every_hour_has_its_range() -> None:
    low, middle, high = straight(1.0, 2.0, 3.0).ranges()
    assert middle == tuple(10.0 - 2.0 * HOURS)
    assert all(a <= b <= c for a, b, c in zip(low, middle, high, strict=True))


@pytest.mark.parametrize(
    ("cap_kg", "pieces"), [(0.0, ()), (0.0, (("M", 1.6),)), (8.0, (("M", 0.0),)), (1.0, (("M", 1.6),))]
)
def test_no_load_is_offered_where_none_may_be_or_no_piece_is_light_enough(
    cap_kg: float, pieces: tuple[tuple[str, float], ...]
) -> None:
    assert sizes(cap_kg=cap_kg, pieces_kg=pieces) == ()


def test_an_empty_log_is_not_blamed_for_what_it_cannot_tell() -> None:
    assert cannot_tell(()) == ()
