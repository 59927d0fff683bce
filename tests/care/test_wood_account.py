"""The account of stacks: burned by itself, counted again from a date on, never below nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.actions.woodshed import kind_of, wood
from logbook.house import Burned, House, Told
from logbook.matters import Stack, StackCount
from logbook.records import Entry
from logbook.results.night import Range
from logbook.results.woodshed import StackLeft, WoodAnswer
from logbook.setting import Setting

ZONE = "Etc/GMT-1"
SEPTEMBER = datetime(2025, 9, 1, 12, tzinfo=UTC)
AS_OF = datetime(2026, 1, 16, 20, tzinfo=UTC)

DRY_PER_STERE = kind_of("birch").basic_density_kg_per_m3 * 0.65
"""Dry birch in a stere: the handbooks' 0.65 by the table's density."""


def day(n: float) -> datetime:
    """Days after the first of September."""
    return SEPTEMBER + timedelta(days=n)


def stack(name: str = "birch", stere: float | None = 2.0, **more: object) -> Stack:
    more.setdefault("as_said", f"{stere:g} stere" if stere is not None else "")
    return Stack(name=name, volume_m3=stere, **more)


def count(name: str = "birch", stere: float = 1.0) -> StackCount:
    return StackCount(name=name, volume_m3=stere, as_said=f"{stere:g} stere")


def burned(n: float, kg_dry: float, species: str = "birch") -> Burned:
    return Burned(at=day(n), kg=kg_dry / 0.82, kg_dry=kg_dry, species=species)


def house(
    *rows: tuple[float, Stack | StackCount] | Burned, as_of: datetime = AS_OF, said: bool = True
) -> House:
    """The log of these rows; ``said``: the kind of wood was written with each load."""
    matters = sorted((r for r in rows if isinstance(r, tuple)), key=lambda r: r[0])
    loads = sorted((r for r in rows if isinstance(r, Burned)), key=lambda b: b.at)
    entries = [Entry(at=day(n), matter=m) for n, m in matters]
    entries += [Entry(at=b.at, load_kg=b.kg, species=b.species if said else None) for b in loads]
    return House(
        as_of=as_of,
        setting=Setting(zone=ZONE),
        description=None,
        entries=tuple(sorted((e for e in entries if e.at <= as_of), key=lambda e: e.at)),
        told=tuple(Told(at=day(n), matter=m) for n, m in matters if day(n) <= as_of),
        burned=tuple(b for b in loads if b.at <= as_of),
    )


def only(answer: WoodAnswer) -> StackLeft:
    (one,) = answer.stacks
    return one


def by_name(answer: WoodAnswer) -> dict[str, StackLeft]:
    return {s.name: s for s in answer.stacks}


# What is put up and what is burned


def test_a_stack_holds_what_was_put_up():
    left = only(wood(house((0, stack())))).left_kg_dry
    assert left.p50 == pytest.approx(2 * DRY_PER_STERE, rel=0.01)


def test_wood_burned_is_taken_off_by_itself():
    rows = (0, stack()), burned(30, 40.0), burned(31, 60.0)
    got = only(wood(house(*rows)))
    assert got.left_kg_dry.p50 == pytest.approx(2 * DRY_PER_STERE - 100.0, rel=0.01)
    assert got.left_m3.p50 == pytest.approx(2.0 - 100.0 / DRY_PER_STERE, rel=0.01)
    assert got.burned_kg > 100.0  # as weighed, with its water


def test_what_was_burned_before_a_stack_was_put_up_is_not_of_it():
    got = only(wood(house(burned(-3, 50.0), (0, stack()), burned(3, 10.0))))
    assert got.left_kg_dry.p50 == pytest.approx(2 * DRY_PER_STERE - 10.0, rel=0.01)


def test_wood_by_mass_is_taken_as_weighed():
    pile = Stack(name="birch", mass_kg=600.0, as_said="600 kg")
    got = only(wood(house((0, pile))))
    assert got.left_kg.p50 == pytest.approx(600.0, rel=0.01)
    assert got.left_m3 is None
    assert got.left_kg_dry.p50 < 520.0


def test_a_stack_without_a_size_is_kept_and_said_not_known():
    answer = wood(house((0, stack(stere=None)), burned(3, 20.0)))
    got = only(answer)
    assert (got.left_kg, got.left_kg_dry, got.heat_mj, got.overdrawn) == (None, None, None, None)
    assert answer.left_kg is None
    counted = only(wood(house((0, stack(stere=None)), burned(3, 20.0), (9, count(stere=1.0)))))
    assert counted.left_m3.p50 == 1.0


def test_more_put_up_under_the_same_name_is_added():
    rows = (0, stack(stere=1.0)), burned(10, 50.0), (40, stack(stere=2.0))
    got = only(wood(house(*rows)))
    assert got.left_kg_dry.p50 == pytest.approx(3 * DRY_PER_STERE - 50.0, rel=0.01)
    assert got.left_m3.p05 < 3.0 - 50.0 / DRY_PER_STERE < got.left_m3.p95
    assert got.put_up == day(0)


# Whose wood it was


def two(*more: Burned, said: bool = True) -> dict[str, StackLeft]:
    return by_name(wood(house((0, stack("birch", 1.0)), (0, stack("spruce", 3.0)), *more, said=said)))


def test_a_load_goes_to_the_stack_of_its_kind():
    before, after = two(), two(burned(10, 60.0, "spruce"))
    assert after["birch"].left_kg_dry == before["birch"].left_kg_dry
    assert before["spruce"].left_kg_dry.p50 - after["spruce"].left_kg_dry.p50 == pytest.approx(60.0)


@pytest.mark.parametrize("species", ["mixed", "", "wood", "what the neighbour gave"])
def test_wood_of_an_unknown_kind_is_shared_out_by_what_lies_there(species):
    before, after = two(), two(burned(10, 90.0, species))
    gone = {name: before[name].left_kg_dry.p50 - after[name].left_kg_dry.p50 for name in before}
    assert sum(gone.values()) == pytest.approx(90.0)
    share = before["birch"].left_kg_dry.p50 / sum(s.left_kg_dry.p50 for s in before.values())
    assert gone["birch"] == pytest.approx(90.0 * share)


def test_hardwood_is_taken_from_the_hardwood():
    before, after = two(), two(burned(10, 60.0, "mixed hardwood"))
    assert after["spruce"].left_kg_dry == before["spruce"].left_kg_dry
    assert after["birch"].left_kg_dry.p50 < before["birch"].left_kg_dry.p50


def test_a_kind_nobody_stacked_came_from_elsewhere_when_it_was_written_with_the_load():
    answer = wood(house((0, stack()), burned(10, 41.0, "oak")))
    assert only(answer).burned_kg == 0.0
    assert [(u.species, round(u.kg)) for u in answer.unplaced] == [("oak", 50)]


def test_a_kind_that_only_the_description_names_goes_to_the_only_stack():
    answer = wood(house((0, stack()), burned(10, 41.0, "oak"), said=False))
    assert only(answer).left_kg_dry.p50 == pytest.approx(2 * DRY_PER_STERE - 41.0, rel=0.01)
    assert answer.unplaced == ()


@pytest.mark.parametrize("species", ["white birch", "paper birch", "Birch"])
def test_a_closer_name_of_the_same_wood_is_the_same_wood(species):
    assert only(wood(house((0, stack()), burned(10, 20.0, species)))).burned_kg > 20.0


def test_two_stacks_of_one_kind_share():
    rows = (0, stack("birch north", 1.0)), (0, stack("birch south", 3.0)), burned(9, 80.0)
    got = by_name(wood(house(*rows)))
    assert got["birch south"].burned_kg == pytest.approx(3 * got["birch north"].burned_kg)


# Counted again


def test_a_count_holds_from_its_own_time_on():
    rows = (0, stack()), burned(30, 100.0), (60, count(stere=1.5)), burned(90, 40.0)
    after = only(wood(house(*rows)))
    assert after.left_m3.p50 == pytest.approx(1.5 - 40.0 / DRY_PER_STERE, rel=0.01)
    assert after.counted.at == day(60)


def test_a_count_leaves_the_past_as_it_was_reckoned():
    rows = (0, stack()), burned(30, 100.0)
    before = only(wood(house(*rows, as_of=day(59))))
    with_count = only(wood(house(*rows, (60, count(stere=0.3)), as_of=day(59))))
    assert with_count == before


def test_the_difference_is_said_in_volume_and_mass():
    rows = (0, stack(stere=1.0)), burned(30, 100.0), (60, count(stere=0.4))
    got = only(wood(house(*rows))).counted
    assert got.counted_m3 == 0.4
    assert got.reckoned_m3.p50 == pytest.approx(1.0 - 100.0 / DRY_PER_STERE, rel=0.01)
    assert got.agrees is False
    missing_dry = (got.reckoned_m3.p50 - 0.4) * DRY_PER_STERE
    assert missing_dry * 1.1 < got.more_went_kg < missing_dry * 1.5  # as weighed: with its water


def test_a_count_within_the_range_agrees_and_one_above_says_less_went():
    rows = (0, stack(stere=1.0)), burned(30, 150.0)
    reckoned = only(wood(house(*rows))).left_m3
    near = only(wood(house(*rows, (60, count(stere=round(reckoned.p50, 3)))))).counted
    assert near.agrees is True
    above = only(wood(house(*rows, (60, count(stere=0.9))))).counted
    assert above.agrees is False
    assert above.more_went_kg < 0.0


def test_a_stack_only_ever_counted_begins_with_its_count():
    got = only(wood(house((5, count("oak", 2.0)), burned(9, 30.0, "oak"))))
    assert got.species == "oak"
    assert got.left_m3.p50 < 2.0
    assert got.counted.agrees is None


def test_a_count_by_a_shorter_name_finds_the_only_stack_it_can_mean():
    got = only(wood(house((0, stack("birch north wall")), (30, count("birch", 1.0)))))
    assert (got.name, got.left_m3.p50) == ("birch north wall", 1.0)


def test_counted_empty_is_empty():
    answer = wood(house((0, stack()), (60, count(stere=0.0))))
    assert only(answer).left_kg == Range(0.0, 0.0, 0.0)
    assert only(answer).left_m3.p50 == 0.0


# More than was there


def test_burning_more_than_was_there_is_said_and_never_owed():
    rows = (0, stack(stere=0.3)), burned(30, 500.0)
    got = only(wood(house(*rows)))
    assert got.left_kg == Range(0.0, 0.0, 0.0)
    assert got.overdrawn.since == day(0)
    assert got.overdrawn.burned_kg > got.overdrawn.there_kg.p95
    again = only(wood(house(*rows, (60, stack(stere=1.0)))))
    assert again.left_kg_dry.p50 == pytest.approx(DRY_PER_STERE, rel=0.01)  # no debt
    assert again.overdrawn is None


def test_burning_a_little_more_than_the_middle_is_within_the_range():
    dry = only(wood(house((0, stack(stere=1.0))))).left_kg_dry
    got = only(wood(house((0, stack(stere=1.0)), burned(30, dry.p50 * 1.05))))
    assert got.overdrawn is None
    assert got.left_kg.p50 == 0.0 < got.left_kg.p95


def test_things_of_one_moment_come_out_the_same_whichever_was_written_first():
    rows = [
        (60, count(stere=0.4)), (60, count(stere=0.9)), burned(70, 30.0, "mixed"), burned(70, 400.0, "mixed"),
    ]  # fmt: skip
    stacks = (0, stack()), (0, stack("spruce", 1.0))
    one, other = (wood(house(*stacks, *order)) for order in (rows, rows[::-1]))
    assert one == other


# Whatever is written

NAMES = ("birch", "spruce", "oak")
rows_written = st.lists(
    st.one_of(
        st.tuples(
            st.floats(0.0, 120.0),
            st.builds(
                stack, st.sampled_from(NAMES), st.floats(0.0, 4.0), where=st.sampled_from(("", "shed"))
            ),
        ),
        st.tuples(st.floats(0.0, 120.0), st.builds(count, st.sampled_from(NAMES), st.floats(0.0, 3.0))),
        st.builds(
            burned, st.floats(0.0, 120.0), st.floats(0.1, 400.0), st.sampled_from((*NAMES, "mixed", "elm"))
        ),
    ),
    max_size=10,
)


@settings(max_examples=60, deadline=None)
@given(rows_written, st.booleans())
def test_nothing_is_negative_and_every_range_in_order(rows, said):
    answer = wood(house(*rows, said=said))
    for got in answer.stacks:
        for found in (got.left_kg, got.left_kg_dry, got.left_m3, got.heat_mj, got.moisture_dry_pct):
            if found is not None:
                assert 0.0 <= found.p05 <= found.p50 + 1e-9
                assert found.p50 <= found.p95 + 1e-9
        assert got.burned_kg >= 0.0


@settings(max_examples=60, deadline=None)
@given(rows_written, st.randoms(use_true_random=False))
def test_the_order_of_writing_never_matters(rows, dice):
    told = house(*rows)
    matters, loads, entries = list(told.told), list(told.burned), list(told.entries)
    for listed in (matters, loads, entries):
        dice.shuffle(listed)
    other = replace(told, told=tuple(matters), burned=tuple(loads), entries=tuple(entries))
    one, two = wood(told), wood(other)
    assert [s.name for s in one.stacks] == [s.name for s in two.stacks]
    for a, b in zip(one.stacks, two.stacks, strict=True):
        assert (a.left_kg is None) == (b.left_kg is None)
        if a.left_kg is not None:
            assert a.left_kg.p50 == pytest.approx(b.left_kg.p50, abs=1e-6)
            assert a.left_kg.p95 == pytest.approx(b.left_kg.p95, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(rows_written, st.floats(0.0, 120.0), st.sampled_from(NAMES), st.floats(0.0, 3.0))
def test_no_count_ever_changes_the_time_before_it(rows, when, name, stere):
    before = wood(house(*rows, as_of=day(when) - timedelta(seconds=1)))
    with_count = wood(house(*rows, (when, count(name, stere)), as_of=day(when) - timedelta(seconds=1)))
    assert with_count == before
    after = wood(house(*rows, (when, count(name, stere)), as_of=day(when)))
    if not any((r.at if isinstance(r, Burned) else day(r[0])) == day(when) for r in rows):
        assert by_name(after)[name].left_m3.p50 == pytest.approx(stere)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.5, 30.0), min_size=1, max_size=12))
def test_what_is_taken_off_is_what_was_burned_while_there_is_enough(loads):
    rows = [burned(10 + n, kg, "mixed") for n, kg in enumerate(loads)]
    stacks = (0, stack("birch", 5.0)), (0, stack("spruce", 5.0))
    full = sum(s.left_kg_dry.p50 for s in wood(house(*stacks)).stacks)
    left = sum(s.left_kg_dry.p50 for s in wood(house(*stacks, *rows)).stacks)
    assert full - left == pytest.approx(sum(loads))
