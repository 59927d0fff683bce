"""What if: handbook arithmetic on a described cabin; what was learned kept apart from what is believed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from logbook.errors import BadInputError
from logbook.heat.construction import building
from logbook.heat.fit import Posterior, learn
from logbook.heat.priors import INDEX, UNKNOWNS
from logbook.heat.whatif import Added, LoadLimit, Replaced, Step, Tightened, Weather, what_if
from logbook.heat.whatif_steps import read_step
from logbook.records import Cabin, DatedDescription, Description, Stove, Surface
from logbook.results.works import WhatIfAnswer

WEATHER = Weather(weekend_c=-1.0, source="the tests")
YEAR = (-6.0, -5.0, -1.0, 4.0, 9.0, 14.0, 16.0, 15.0, 10.0, 5.0, 0.0, -4.0)

# A box whose arithmetic can be done by hand: U times area.
BOX = Description(
    cabin=Cabin(
        floor_m2=20.0,
        volume_m3=50.0,
        leakiness="average",
        surfaces=(
            Surface(kind="wall", area_m2=40.0, u_w_per_m2k=0.5),
            Surface(kind="roof", area_m2=20.0, u_w_per_m2k=1.0),
            Surface(kind="floor", area_m2=20.0, u_w_per_m2k=0.5),
            Surface(kind="window", area_m2=2.0, glazing="single", faces="S"),
            Surface(kind="window", area_m2=1.0, glazing="single", faces="N"),
            Surface(kind="door", area_m2=2.0, u_w_per_m2k=2.0),
        ),
    ),
    stove=Stove(max_load_kg=8.0),
)


def posterior(description: Description = BOX, draws: int = 400) -> Posterior:
    """The prior, as draws: nothing is learned."""
    return learn(
        descriptions=[DatedDescription(uuid="b", valid_from=None, description=description)],
        entries=[],
        as_of=datetime(2026, 1, 1, tzinfo=UTC),
        rng=np.random.default_rng(1),
        draws=draws,
    )


@pytest.fixture(scope="module")
def prior() -> Posterior:
    return posterior()


def asked(
    learned: Posterior, *steps: str, weather: Weather = WEATHER, outdoor_c: float = -5.0
) -> WhatIfAnswer:
    return what_if(
        learned,
        description=BOX,
        steps=[read_step(s) for s in steps],
        told=steps,
        weather=weather,
        outdoor_c=outdoor_c,
        rng=np.random.default_rng(2),
    )


# Steps in words

STEPS: list[tuple[str, Step]] = [
    ("window double", Replaced("window", 2.9)),
    ("windows double", Replaced("window", 2.9)),
    ("Window S double", Replaced("window", 2.9, "S")),
    ("door u 1.2", Replaced("door", 1.2)),
    ("door U=1,2", Replaced("door", 1.2)),
    ("leakiness tight", Tightened("tight")),
    ("tight", Tightened("tight")),
    ("load limit 5kg", LoadLimit(5.0)),
    ("load 5 kg", LoadLimit(5.0)),
]


@pytest.mark.parametrize(("text", "step"), STEPS)
def test_steps_are_read(text, step):
    assert read_step(text) == step


@pytest.mark.parametrize(
    "text", ["roof +100mm mineral wool batt", "Roof + 10 cm batt", "roof +3.937 in batt"]
)
def test_insulation_is_read_in_any_unit(text):
    step = read_step(text)
    assert isinstance(step, Added)
    assert step.kind == "roof"
    assert step.layer.thickness_mm == pytest.approx(100.0, abs=0.01)
    assert step.layer.conductivity_w_per_mk == 0.040


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("chimney double", "no kind of surface"),
        ("roof double", "nothing that can be done to a roof"),
        ("roof +100mm minral wool bat", "Did you mean"),
        ("roof +5000mm batt", "can't be"),
        ("door u 99", "can't be"),
        ("load limit 900kg", "can't be"),
        ("", "no kind of surface"),
    ],
)
def test_what_can_t_be_read_says_what_to_write(text, says):
    with pytest.raises(BadInputError, match=says):
        read_step(text)


# Arithmetic


def test_the_described_loss_changes_by_the_handbook(prior):
    """Double for single panes: 3 m2 x (5.2 - 2.9) = 6.9 W/K, by the U of the description's own table."""
    said = asked(prior, "window double")
    assert said.described_now_w_per_k - said.described_then_w_per_k == pytest.approx(6.9)
    one = asked(prior, "window S double")
    assert one.described_now_w_per_k - one.described_then_w_per_k == pytest.approx(4.6)


def test_insulation_adds_its_resistance(prior):
    """1/U = 1/1.0 + 0.1/0.04 = 3.5 m2K/W (ISO 6946, layers in series): 20 m2 x (1 - 0.2857) = 14.3 W/K."""
    said = asked(prior, "roof +100mm mineral wool batt")
    assert said.described_now_w_per_k - said.described_then_w_per_k == pytest.approx(14.286, abs=0.01)
    # Of every draw, the same share of the roof's part: about what the description says of the whole.
    share = 1.0 - said.described_then_w_per_k / said.described_now_w_per_k
    assert -said.heat_loss_change_pct.p50 == pytest.approx(100.0 * share, rel=0.2)


def test_tight_for_average_leaks_as_the_classes_stand(prior):
    house = building(BOX.cabin)
    said = asked(prior, "leakiness tight")
    gone = said.described_now_w_per_k - said.described_then_w_per_k
    assert gone == pytest.approx(house.air_w_per_k * (1.0 - 1.7 / 3.6), rel=0.01)


def test_steps_add_up_in_their_order(prior):
    both = asked(prior, "roof +50mm batt", "roof +50mm batt")
    at_once = asked(prior, "roof +100mm batt")
    assert both.described_then_w_per_k == pytest.approx(at_once.described_then_w_per_k)
    assert both.heat_loss_then.p50 == pytest.approx(at_once.heat_loss_then.p50, rel=0.02)


def test_doing_nothing_changes_nothing(prior):
    said = asked(prior, "load limit 8kg")
    for nothing in (said.heat_loss_change_pct, said.wood_saved_kg):
        assert [nothing.p05, nothing.p50, nothing.p95] == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)
    assert said.freezing_now_h is not None
    assert said.freezing_then_h == said.freezing_now_h


def test_another_stove_changes_only_what_a_load_carries(prior):
    said = asked(prior, "load limit 4kg")
    assert said.full_load_kg == (8.0, 4.0)
    assert said.full_load_holds_then_h.p50 == pytest.approx(said.full_load_holds_now_h.p50 / 2.0)
    assert said.heat_loss_then.p50 == pytest.approx(said.heat_loss_now.p50)


def test_a_surface_that_isn_t_there_is_said(prior):
    with pytest.raises(BadInputError, match="no window facing E"):
        asked(prior, "window E double")
    bare = Description(cabin=Cabin(floor_m2=20.0, volume_m3=50.0), stove=Stove(max_load_kg=8.0))
    with pytest.raises(BadInputError, match="no surface at all"):
        what_if(
            posterior(bare, 50), description=bare, steps=[read_step("window double")], told=["window double"],
            weather=WEATHER, outdoor_c=-5.0, rng=np.random.default_rng(1),
        )  # fmt: skip


# Learned and believed


def learned_factor(prior: Posterior, factor: float) -> Posterior:
    """As if the nights had shown the fabric to lose this many times what is described, nearly surely."""
    house = building(BOX.cabin)
    z = np.zeros_like(prior.z)
    z[:, INDEX["fabric_loss"]] = np.log(factor) / house.fabric_log_sd
    steady = np.full(len(z), 1.0)
    loss = steady * (
        factor * (house.opaque_w_per_k + house.floor_w_per_k + house.glazed_w_per_k) + house.air_w_per_k
    )
    return replace(prior, z=z, stays=3, derived=replace(prior.derived, heat_loss_w_per_k=loss))


def test_the_learned_factor_carries_over_to_what_stays(prior):
    """Twice the described loss was learned: 100 mm in the roof takes more away, for the roof was worse."""
    usual, twice = (asked(learned_factor(prior, f), "roof +100mm batt") for f in (1.0, 2.0))
    # 20 m2: 1.0 -> 1/3.5, and 2.0 -> 1/3.0; seen against the whole of each.
    gone = [said.heat_loss_now.p50 - said.heat_loss_then.p50 for said in (usual, twice)]
    assert gone[0] == pytest.approx(14.3, rel=0.05)
    assert gone[1] == pytest.approx(20.0 * (2.0 - 1.0 / 3.0), rel=0.05)


def test_what_is_new_brings_its_own_width_and_no_more(prior):
    said = asked(learned_factor(prior, 1.0), "window double")
    assert said.heat_loss_now.p95 == pytest.approx(said.heat_loss_now.p05)
    # 8.7 W/K of new glass, 20 % sd: 8.7 x (e^0.329 - e^-0.329) = 5.8 W/K wide.
    assert said.heat_loss_then.p95 - said.heat_loss_then.p05 == pytest.approx(5.8, rel=0.15)
    assert said.learned_share == pytest.approx(1.0)
    assert asked(prior, "window double").learned_share == 0.0


# Hours and wood


def test_a_tighter_cabin_freezes_later_and_never_above_zero(prior):
    said = asked(prior, "roof +100mm batt", "leakiness tight", outdoor_c=-10.0)
    assert said.freezing_now_h is not None
    assert said.freezing_then_h is not None
    assert said.freezing_then_h.p50 > 1.1 * said.freezing_now_h.p50
    colder = asked(prior, "load limit 8kg", outdoor_c=-25.0)
    assert colder.freezing_now_h is not None
    assert colder.freezing_now_h.p50 < said.freezing_now_h.p50
    assert asked(prior, "window double", outdoor_c=3.0).freezing_now_h is None


def test_hours_to_freezing_are_those_of_a_falling_exponential(prior):
    """From 20 to 0 °C at -10: ln(30/10) = 1.10 time constants, less what the air drops at once."""
    said = asked(prior, "load limit 8kg", outdoor_c=-10.0)
    assert said.freezing_now_h is not None
    tau = float(np.median(prior.derived.time_constant_h))
    assert 0.5 * tau < said.freezing_now_h.p50 < 1.5 * tau


def test_wood_of_a_weekend_is_degree_hours_over_the_heat_of_wood(prior):
    """20 K x 48 h: loss x 960 h K, at some 3 kWh of heat per kg, and warming the cabin up once."""
    said = asked(prior, "load limit 8kg")
    assert said.degree_hours == pytest.approx(48.0 * (19.0 + 1.0))
    lost_kwh = said.heat_loss_now.p50 * said.degree_hours / 1000.0
    assert lost_kwh / 4.0 < said.wood_now_kg.p50 < 2.0 * lost_kwh / 2.5
    milder = asked(prior, "load limit 8kg", weather=Weather(weekend_c=9.0, source="the tests"))
    assert milder.wood_now_kg.p50 == pytest.approx(said.wood_now_kg.p50 / 2.0, rel=0.02)


def test_a_year_by_hand_gives_its_season(prior):
    """Nine months below 12 °C; degree-hours to 19 °C by hand: 730.5 h x the sum of (19 - mean)."""
    said = asked(prior, "roof +100mm batt", weather=Weather(weekend_c=1.3, source="x", monthly_c=YEAR))
    assert said.season is not None
    cold = [c for c in YEAR if c < 12.0]
    assert said.season.months == len(cold) == 9
    assert said.season.degree_hours == pytest.approx(730.5 * (19.0 * 9 - sum(cold)))
    assert said.season.wood_then_kg.p50 < said.season.wood_now_kg.p50
    assert asked(prior, "roof +100mm batt").season is None
    warm = Weather(weekend_c=15.0, source="x", monthly_c=(15.0,) * 12)
    assert asked(prior, "roof +100mm batt", weather=warm).season is None


def test_there_are_as_many_numbers_as_unknowns(prior):
    assert prior.z.shape[1] == len(UNKNOWNS)
