"""Answers at the edge of what can be said: nothing is offered, or promised, where there is nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from logbook.heat.candidates import sizes
from logbook.heat.fit import starts
from logbook.heat.priors import UNKNOWNS, ChangeKind, change_kind, heat_of_wood_mj_per_kg
from logbook.heat.summary import cannot_tell
from logbook.heat.versions import stove_since
from logbook.heat.without_fire import Cooling
from logbook.records import Basis, Cabin, DatedDescription, Description, Stove, WoodPile

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


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("lever rescaled", ChangeKind.LEVER),
        ("Air lever moved", ChangeKind.LEVER),
        ("new gasket", ChangeKind.GASKET),
        ("door rope", ChangeKind.GASKET),
        ("thermometer moved", ChangeKind.THERMOMETER),
        ("new sensor", ChangeKind.THERMOMETER),
        ("floor insulated", ChangeKind.HEAT_LOSS),
    ],
)
def test_what_a_change_touches_is_told_by_its_name(name: str, kind: ChangeKind) -> None:
    assert change_kind(name) is kind


DESCRIBED = Description(cabin=Cabin(floor_m2=21.0, volume_m3=55.0), stove=Stove(max_load_kg=9.0))


def test_wood_heats_alike_whichever_basis_its_water_is_told_on() -> None:
    """20 % of the whole piece is 25 % of its dry wood: w / (1 − w), the definition of the two bases."""
    wet = replace(DESCRIBED, wood=WoodPile(moisture_pct=20.0, moisture_basis=Basis.WET))
    dry = replace(DESCRIBED, wood=WoodPile(moisture_pct=25.0, moisture_basis=Basis.DRY))
    wetter = replace(DESCRIBED, wood=WoodPile(moisture_pct=30.0, moisture_basis=Basis.DRY))
    assert heat_of_wood_mj_per_kg(wet) == pytest.approx(heat_of_wood_mj_per_kg(dry))
    assert heat_of_wood_mj_per_kg(wetter) < heat_of_wood_mj_per_kg(dry)


def test_a_rescaled_lever_leaves_the_stove_a_larger_limit_is_another_stove() -> None:
    days = [datetime(2026, 1, day, tzinfo=UTC) for day in (1, 10, 20)]
    stoves = [
        Stove(max_load_kg=9.0),
        Stove(max_load_kg=6.0),
        Stove(max_load_kg=6.0, air_lever_reads="closed"),
    ]
    versions = [
        DatedDescription(uuid=str(at), valid_from=at, description=replace(DESCRIBED, stove=stove))
        for at, stove in zip(days, stoves, strict=True)
    ]
    assert stove_since(versions, days[2]) == days[1]
    assert stove_since(versions, days[0]) == days[0]


def test_a_mode_of_a_version_with_fewer_or_more_unknowns_is_still_a_place_to_start_from() -> None:
    size = len(UNKNOWNS) + 3  # three effects of stays
    for known in (len(UNKNOWNS) - 2, len(UNKNOWNS), size + 5):
        last = np.arange(1.0, known + 1.0)
        centre, other = starts(size, last)
        n = min(known, len(UNKNOWNS))
        assert (centre == 0.0).all()
        assert (other[:n] == last[:n]).all()
        assert (other[n:] == 0.0).all(), "the effects of stays are those of other stays"
