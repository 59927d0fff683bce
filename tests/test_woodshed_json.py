"""The wood shed as JSON from answers made by hand: every key, both moisture bases, and null where untold."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from logbook.as_json.woodshed import wood_json
from logbook.records import Basis
from logbook.results.night import Range
from logbook.results.woodshed import (
    Cost,
    Counted,
    Metered,
    MoistureFrom,
    NextWinter,
    Overdrawn,
    Ready,
    ShedAir,
    StackLeft,
    ThisWinter,
    Unit,
    Unplaced,
    Use,
    UseFrom,
    WoodAnswer,
)

ZONE = ZoneInfo("Etc/GMT-1")
AT = datetime(2026, 1, 16, 20, tzinfo=UTC)
ABOUT = Range(90.0, 100.0, 120.0)
ABOUT_JSON = {"p05": 90.0, "p50": 100.0, "p95": 120.0}

BIRCH = StackLeft(
    name="birch",
    species="birch",
    species_known=True,
    where="north wall",
    put_up=AT,
    split_on=date(2025, 5, 1),
    unit=Unit(word="stere", m3=1.0),
    left_kg=ABOUT,
    left_kg_dry=ABOUT,
    left_m3=ABOUT,
    burned_kg=12.5,
    moisture_dry_pct=Range(19.05, 25.0, 100.0),
    moisture_from=MoistureFrom.OUTSIDE_FACE,
    metered=Metered(at=AT, readings_pct=(19.0, 250.0), basis="dry", fresh_face=None, left_out=1),
    ready=Ready(already=False, early=date(2026, 2, 1), about=date(2026, 5, 1), late=None),
    heat_mj=ABOUT,
    counted=Counted(
        at=AT, counted_m3=0.4, counted_kg=ABOUT, reckoned_m3=ABOUT, reckoned_kg=ABOUT, more_went_kg=40.0,
        agrees=False,
    ),
    overdrawn=Overdrawn(since=AT, burned_kg=412.0, there_kg=ABOUT),
)  # fmt: skip

BARE = replace(
    BIRCH, species="", species_known=False, where="", split_on=None, unit=None, left_kg=None,
    left_kg_dry=None,
    left_m3=None, moisture_dry_pct=None, moisture_from=MoistureFrom.NOTHING, metered=None, ready=None,
    heat_mj=None, counted=None, overdrawn=None,
)  # fmt: skip

FULL = WoodAnswer(
    as_of=AT,
    stacks=(BIRCH, BARE),
    left_kg=ABOUT,
    dry_enough_kg=ABOUT,
    untold_kg=ABOUT,
    wet_kg=ABOUT,
    burnable_kg=ABOUT,
    use=Use(
        rests_on=UseFrom.OWN_STAYS, stays=4, outdoor_c=-2.0, night_kg=ABOUT, weekend_kg=ABOUT,
        nights_per_weekend=2.25, by_heat_loss_kg=ABOUT,
    ),
    nights_left=ABOUT,
    weekends_left=ABOUT,
    this_winter=ThisWinter(
        until=date(2026, 5, 1), nights=ABOUT, weekends=ABOUT, wood_kg=ABOUT, by_former_winters=1
    ),
    next_winter=NextWinter(
        starts=date(2026, 10, 1), usual_kg=ABOUT, winters=2, left_then_kg=ABOUT, to_cut_kg=ABOUT,
        to_cut_m3=None, species="birch", unit=None, split_before=date(2026, 5, 1), split_safely_before=None,
    ),
    cost=Cost(money_per_kg=0.2, money_per_m3=80.0, hours_per_kg=None, hours_per_m3=None, stacks=2),
    unplaced=(Unplaced(species="oak", kg=12.0),),
    settles_now_dry_pct=Range(16.0, 18.0, 20.0),
    air=ShedAir(temperature_c=(2.0,) * 12, settles_at_dry_pct=(18.0,) * 12, months_read=3),
    assumed=("The air is assumed.",),
)  # fmt: skip

EMPTY = replace(
    FULL, stacks=(), left_kg=None, dry_enough_kg=None, untold_kg=None, wet_kg=None, burnable_kg=None,
    use=None,
    nights_left=None, weekends_left=None, this_winter=None, next_winter=None, cost=None, unplaced=(),
)  # fmt: skip

TOP_KEYS = {
    *("as_of", "items", "left_kg", "dry_enough_kg", "moisture_unknown_kg", "not_dry_enough_kg", "use"),
    *("nights_left", "weekends_left", "this_winter", "next_winter", "cost", "burned_from_no_stack"),
    *("settles_at_now_pct", "moisture_basis", "outdoor_months_read", "assumed"),
}

ITEM_KEYS = {
    *("name", "species", "species_known", "where", "put_up", "split_on", "left_kg", "left_kg_dry", "left_m3"),
    *("burned_kg", "moisture_pct", "moisture_basis", "moisture_from", "meter", "ready", "heat_mj"),
    *("last_counted", "burned_more_than_there", "sentence"),
}


@pytest.mark.parametrize("answer", [FULL, EMPTY], ids=["full", "empty"])
def test_the_keys_are_always_the_same_and_it_is_json(answer):
    found = wood_json(answer, zone=ZONE)
    assert set(found) == TOP_KEYS
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    for item in found["items"]:
        assert set(item) == ITEM_KEYS


def test_what_is_not_told_is_null():
    bare = wood_json(FULL, zone=ZONE)["items"][1]
    told = {"name", "species_known", "put_up", "burned_kg", "moisture_basis", "moisture_from", "sentence"}
    assert {key for key, value in bare.items() if value is not None} == told
    empty = wood_json(EMPTY, zone=ZONE)
    assert empty["items"] == empty["burned_from_no_stack"] == []
    for key in ("left_kg", "use", "nights_left", "this_winter", "next_winter", "cost"):
        assert empty[key] is None


def test_times_carry_the_site_s_offset_and_days_have_none():
    found = wood_json(FULL, zone=ZONE)
    item = found["items"][0]
    assert found["as_of"] == item["put_up"] == item["meter"]["at"] == "2026-01-16T21:00:00+01:00"
    assert (
        item["last_counted"]["at"] == item["burned_more_than_there"]["since"] == "2026-01-16T21:00:00+01:00"
    )
    assert item["split_on"] == "2025-05-01"
    assert found["next_winter"]["starts"] == "2026-10-01"
    assert found["this_winter"]["until"] == "2026-05-01"
    assert item["ready"] == {"already": False, "on": {"p05": "2026-02-01", "p50": "2026-05-01", "p95": None}}


def test_moisture_is_on_the_basis_that_stands_beside_it():
    """16, 20 and 50 % of the wet wood are 19.05, 25 and 100 % of the dry (BC Ministry of Environment, EPA and
    CSA as reported)."""
    wet = wood_json(FULL, zone=ZONE, basis=Basis.WET)
    dry = wood_json(FULL, zone=ZONE, basis=Basis.DRY)
    assert (wet["moisture_basis"], dry["moisture_basis"]) == ("wet", "dry")
    told = wet["items"][0]["moisture_pct"]
    assert list(told.values()) == pytest.approx([16.0, 20.0, 50.0], abs=0.01)
    assert list(dry["items"][0]["moisture_pct"].values()) == [19.05, 25.0, 100.0]
    assert dry["settles_at_now_pct"] == {"p05": 16.0, "p50": 18.0, "p95": 20.0}
    assert wet["settles_at_now_pct"]["p50"] == pytest.approx(15.25, abs=0.01)
    # Readings stay as they were written, on their own basis.
    assert wet["items"][0]["meter"]["readings_pct"] == [19.0, 250.0]
    assert wet["items"][0]["meter"]["basis"] == "dry"


def test_the_use_the_winters_and_the_cost():
    found = wood_json(FULL, zone=ZONE)
    assert found["use"] == {
        "from": "own stays",
        "stays": 4,
        "outdoor_c": -2.0,
        "kg_per_night": ABOUT_JSON,
        "kg_per_weekend": ABOUT_JSON,
        "nights_per_weekend": 2.25,
        "kg_per_weekend_by_heat_loss": ABOUT_JSON,
    }
    assert found["next_winter"]["to_cut_kg"] == ABOUT_JSON
    assert found["next_winter"]["to_cut_m3"] is None
    assert found["next_winter"]["split_safely_before"] is None
    assert found["cost"]["money_per_m3"] == 80.0
    assert found["cost"]["hours_per_kg"] is None
    assert found["burned_from_no_stack"] == [{"species": "oak", "kg": 12.0}]
    assert found["outdoor_months_read"] == 3
    assert found["assumed"] == ["The air is assumed."]


def test_a_count_and_what_was_overdrawn():
    item = wood_json(FULL, zone=ZONE, sentences=("One.", "Two."))["items"][0]
    assert item["sentence"] == "One."
    counted = item["last_counted"]
    assert (counted["counted_m3"], counted["more_went_kg"], counted["agrees"]) == (0.4, 40.0, False)
    assert item["burned_more_than_there"]["there_kg"] == ABOUT_JSON


def test_a_sentence_short_is_a_slip_of_the_caller_and_is_not_hidden():
    with pytest.raises(ValueError, match="shorter"):
        wood_json(FULL, zone=ZONE, sentences=("One.",))
