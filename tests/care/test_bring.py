"""What to bring: amounts, the owner's list, notes of the last leaving, alarms due, what was left undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.care.bring import (
    Trip,
    left_undone,
    listed,
    supplies_needed,
    together,
    trip_of,
    upkeep_needs,
)
from logbook.house import House, StayLived, Told
from logbook.matters import Bring, Brought, Matter, Tick
from logbook.records import Entry, OwnUnits
from logbook.results.night import Range
from logbook.results.supplies import BringAnswer, BringFrom, BringItem, LowFrom, SupplyUse
from logbook.results.upkeep import DueItem, DueState, Interval
from logbook.setting import Setting
from logbook.wording.supplies import amount_text, bring_text, items_told

LEFT = datetime(2026, 1, 10, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
LAST = StayLived(
    start=LEFT - 42 * HOUR,
    end=LEFT,
    nights=((LEFT - 42 * HOUR).date(), (LEFT - 18 * HOUR).date()),
    head_count=3.0,
    head_count_said=True,
)
WEEKEND = Trip(people=2.0, nights=2)  # five person-days


def house(*rows: Entry, stays: tuple[StayLived, ...] = (LAST,)) -> House:
    ordered = tuple(sorted(rows, key=lambda e: e.at))
    return House(
        as_of=LEFT + 100 * HOUR,
        setting=Setting(),
        description=None,
        entries=ordered,
        told=tuple(Told(at=e.at, matter=e.matter) for e in ordered if e.matter),
        stays=stays,
    )


def said(hours: float, matter: Matter) -> Entry:
    return Entry(at=LEFT + hours * HOUR, matter=matter)


def note(hours: float, text: str) -> Entry:
    return Entry(at=LEFT + hours * HOUR, note=text)


def use(item: str = "water", unit: str = "L", *, there: float | None = None, n: int = 3, **more) -> SupplyUse:
    return SupplyUse(
        item=item, unit=unit, shown_unit=more.pop("shown_unit", unit), intervals=n, person_days=4.0 * n,
        per_person_day=more.pop("rate", Range(4.0, 6.0, 9.0)), planning=None, last=there, last_at=LEFT,
        there=there, **more,
    )  # fmt: skip


# Who and how long


def test_a_trip_is_as_the_last_stays_were_unless_it_is_said():
    assert trip_of(house(), people=None, nights=None) == Trip(
        people=3.0, nights=2, people_assumed=True, nights_assumed=True
    )
    assert trip_of(house(), people=1, nights=5) == Trip(people=1, nights=5)
    assert trip_of(house(stays=()), people=None, nights=None).people == 2.0  # the description's usual two


@pytest.mark.parametrize(
    ("parties", "usual"),
    [((2.0, 2.0, 5.0), 2.0), ((2.0, 3.0, 2.0, 4.0), 3.0), ((6.0, 1.0, 1.0, 1.0, 1.0, 1.0), 1.0)],
)
def test_one_crowded_stay_makes_no_usual_party(parties, usual):
    """After one New Year's with guests it asked to carry for five, as usual."""
    lived = tuple(
        replace(LAST, start=LAST.start - n * 168 * HOUR, end=LAST.end - n * 168 * HOUR, head_count=people)
        for n, people in reversed(list(enumerate(reversed(parties))))
    )
    assert trip_of(house(stays=lived), people=None, nights=None).people == usual


def test_a_stay_is_half_a_day_longer_than_its_nights():
    assert WEEKEND.person_days == 5.0
    assert Trip(people=2.0, nights=0).person_days == 1.0


# Supplies


def test_enough_for_four_stays_in_five_less_what_is_there_is_carried():
    """By hand, in the log: 30 x (45 / 30) ^ (0.842 / 1.645) = 36.9 L."""
    (item,), enough = supplies_needed([use(there=14.0)], WEEKEND)
    assert item.need == Range(20.0, 30.0, 45.0)
    assert item.amount == pytest.approx(36.92 - 14.0, abs=0.01)
    assert (item.source, item.raised, enough) == (BringFrom.OWN_USE, False, ())


def test_of_a_planning_figure_the_middle_is_carried():
    (item,), _ = supplies_needed([use(n=0)], WEEKEND)
    assert (item.amount, item.source) == (30.0, BringFrom.PLANNING)


def test_enough_there_is_said_apart():
    carry, (item,) = supplies_needed([use("lamp oil", there=50.0)], WEEKEND)
    assert carry == ()
    assert (item.amount, item.survival_l) == (0.0, None)


def test_water_is_never_less_than_the_survival_figure_without_saying_so():
    """One US gallon a person-day: 5 x 3.785 = 18.9 L, though this household used 10 at most."""
    sparing = use(rate=Range(1.0, 1.5, 2.0), there=0.0)
    (item,), _ = supplies_needed([sparing], WEEKEND)
    assert item.amount == pytest.approx(18.927, abs=0.001)
    assert item.raised
    (row,) = [text for _, _, text in items_told(answer(item), setting=Setting())]
    assert "Your own use is less: raised to 19 L, the planning figure for survival." in row


@given(
    rate=st.floats(0.01, 20),
    there=st.none() | st.floats(0, 200),
    people=st.integers(1, 9),
    nights=st.integers(0, 30),
)
def test_water_there_and_carried_reach_the_survival_figure(rate, there, people, nights):
    trip = Trip(people=people, nights=nights)
    carry, enough = supplies_needed([use(rate=Range(0.5 * rate, rate, 2 * rate), there=there)], trip)
    (item,) = carry or enough
    assert (item.amount or 0.0) + (there or 0.0) >= 3.785411784 * people * (nights + 0.5) - 1e-6


def test_water_kept_in_per_cent_says_the_survival_figure_all_the_same():
    unknown = use(unit="%", rate=None, n=0, there=40.0)
    (item,), _ = supplies_needed([unknown], WEEKEND)
    assert (item.amount, item.need) == (None, None)
    (row,) = [text for _, _, text in items_told(answer(item), setting=Setting())]
    assert "19 L is the planning figure for survival" in row


def test_a_share_of_a_tank_is_filled_not_carried():
    gas = use("gas", "%", rate=Range(4.0, 6.0, 9.0), there=30.0)
    (item,), _ = supplies_needed([gas], WEEKEND)
    assert (item.amount, item.need) == (None, Range(20.0, 30.0, 45.0))
    _, (full,) = supplies_needed([use("gas", "%", there=60.0)], WEEKEND)
    assert full.item == "gas"


def test_a_supply_of_unknown_use_is_in_neither_list():
    assert supplies_needed([use("batteries", "", rate=None, n=0, there=2.0)], WEEKEND) == ((), ())


# The owner's list


def names(found: House) -> list[tuple[str, BringFrom]]:
    return [(item.item, item.source) for item in listed(found)]


def test_lines_of_the_last_stay_are_its_left_note_others_are_the_list():
    found = house(
        said(-300, Bring(item="axe")),
        said(-2, Bring(item="mouse traps", amount=2.0)),
        said(90, Bring(item="salt")),
    )
    assert names(found) == [
        ("axe", BringFrom.LIST),
        ("mouse traps", BringFrom.LEFT_NOTE),
        ("salt", BringFrom.LIST),
    ]
    assert [item.amount for item in listed(found)] == [None, 2.0, None]


@pytest.mark.parametrize(
    "after", [Bring(item="Mouse traps", got=True), Brought(item="mouse traps", amount=4.0)]
)
def test_what_was_got_or_carried_in_is_off_the_list(after):
    assert listed(house(said(-2, Bring(item="mouse traps")), said(20, after))) == ()


def test_asked_for_again_it_is_back():
    again = [said(-2, Bring(item="salt")), said(5, Bring(item="salt", got=True)), said(9, Bring(item="salt"))]
    assert names(house(*again)) == [("salt", BringFrom.LEFT_NOTE)]


NOTES = [
    ("out of matches, lamp oil", ["matches", "lamp oil"]),
    ("Bring a new broom.", ["a new broom"]),
    ("we need salt and coffee", ["salt", "coffee"]),
    ("low on candles", ["candles"]),
    ("needless to say it snowed", []),
    ("outside was quiet", []),
    ("mouse behind the wood box", []),
]


@pytest.mark.parametrize(("text", "asked"), NOTES)
def test_notes_of_the_last_leaving_that_ask_for_something(text, asked):
    assert names(house(note(-1, text))) == [(item, BringFrom.LEFT_NOTE) for item in asked]


def test_a_note_of_another_time_asks_for_nothing():
    assert listed(house(note(-30, "out of matches"), note(80, "out of salt"))) == ()


def test_what_a_note_asked_for_goes_off_like_a_line():
    assert listed(house(note(-1, "out of matches"), said(20, Bring(item="matches", got=True)))) == ()


def test_a_thing_named_twice_stands_once_with_the_larger_amount():
    mine = BringItem(
        item="Water", amount=40.0, unit="L", shown_unit="L", source=BringFrom.LIST, noted_at=LEFT
    )
    (carry,), _ = supplies_needed([use(there=14.0)], WEEKEND)
    (one,) = together((carry,), (mine,))
    assert (one.amount, one.source, one.also_noted) == (40.0, BringFrom.OWN_USE, LEFT)
    (kept,) = together((carry,), (BringItem(item="water", amount=9.0, unit="bottle", shown_unit="bottles", source=BringFrom.LIST),))  # fmt: skip # noqa: E501 - one call
    assert kept.amount == pytest.approx(22.92, abs=0.01)


# Alarms and lists


def due(task: str, state: DueState) -> DueItem:
    return DueItem(task=task, title=task, safety=True, state=state, interval=Interval())


def test_batteries_and_alarms_due_by_the_end_of_the_stay_are_carried():
    items = [
        due("co alarm battery", DueState.NEXT_STAY),
        due("smoke alarm battery", DueState.LATER),
        due("co alarm", DueState.DUE),
        due("flue", DueState.NOW),  # nothing to carry
    ]
    assert [item.item for item in upkeep_needs(items)] == ["battery for the CO alarm", "CO alarm"]


def tick(hours: float, line: str, *, done: bool = False, name: str = "leaving") -> Entry:
    return said(hours, Tick(list_name=name, line=line, done=done))


def test_lines_left_at_the_last_leaving_come_back_until_they_are_done():
    found = house(
        tick(-500, "old line"),
        tick(-1, "roof vent"),
        tick(-1, "water drained"),
        tick(30, "water drained", done=True),
        tick(-1, "extinguisher", name="arriving"),
    )
    assert left_undone(found) == ((LEFT - HOUR, "roof vent"),)
    came_back = house(tick(-1, "roof vent"), tick(40, "roof vent", done=True, name="arriving"))
    assert left_undone(came_back) == (), "it stood first on arriving and was done there"
    assert left_undone(house(stays=())) == ()


def test_what_one_list_writes_large_and_another_small_is_one_thing():
    """It came back on arriving under that list's own spelling, was done there, and stayed undone in bring."""
    skipped, done = tick(-1, "Roof vent"), tick(40, "roof vent", done=True, name="arriving")
    assert left_undone(house(skipped)) == ((LEFT - HOUR, "Roof vent"),)
    assert left_undone(house(skipped, done)) == ()


# In words


def answer(*items: BringItem, **more) -> BringAnswer:
    fields = {
        "as_of": LEFT, "people": 2.0, "people_assumed": False, "nights": 2, "nights_assumed": True,
        "night_low_c": -8.0, "low_from": LowFrom.TYPED, "items": items, "enough": (), "wood": None,
        "wood_by_heat_loss": None, "uses": (), "left_undone": (),
    }  # fmt: skip
    return BringAnswer(**(fields | more))


AMOUNTS = [
    (31.2, "L", "L", "32 L"),
    (7.5708, "L", "gal", "2 gal"),
    (8.0, "L", "gal", "2.2 gal"),  # rounded up, never down
    (0.4, "L", "ml", "400 ml"),
    (9.0718474, "kg", "lb", "20 lb"),
    (2.0, "", "", "2"),
    (0.351, "kg", "kg", "0.36 kg"),
]


@pytest.mark.parametrize(("amount", "unit", "shown", "text"), AMOUNTS)
def test_amounts_to_carry_in_the_owners_unit(amount, unit, shown, text):
    item = BringItem(item="x", amount=amount, unit=unit, shown_unit=shown, source=BringFrom.LIST)
    assert amount_text(amount, item, up=True) == text


def test_the_page_says_for_whom_and_what_is_frozen():
    mine = use(there=14.0)
    (item,), _ = supplies_needed([mine], WEEKEND)
    rows = bring_text(answer(item, uses=(mine,)), setting=Setting())
    assert rows[0] == "For 2 people and 2 nights (as usual), low −8 °C (as typed)."
    (water,) = (row for row in rows if row.startswith("  water"))
    assert water.startswith("  water 23 L. You use 4 to 9 L each a day, over 12 person-days of yours.")
    assert water.endswith(" This stay: 20 to 45 L, likely 30 L. Expected there: 14 L.")
    assert "Water that stands there may be frozen when you come." in rows


def test_wood_in_words_and_pounds():
    item = BringItem(
        item="wood", amount=12.0, unit="kg", shown_unit="kg", source=BringFrom.OWN_USE,
        need=Range(32.0, 47.0, 70.0), there=58.0, stays=8,
    )  # fmt: skip
    rows = bring_text(answer(wood=item, wood_pieces=("M", 29.4, 43.7)), setting=Setting())
    assert any(
        row == "Wood: 32 to 70 kg for this stay, likely 47 kg (30 M pieces, 44 to be safe), by your last 8 "
        "stays with a fire. Dry enough up there: about 58 kg. Bring 12 kg to be safe."
        for row in rows
    )
    american = Setting(units=OwnUnits(temperature="F", mass="lb"))
    (row,) = (row for row in bring_text(answer(wood=item), setting=american) if row.startswith("Wood"))
    assert "71 to 154 lb" in row
    assert bring_text(answer(), setting=american)[0].endswith("low 18 °F (as typed).")


def test_where_a_thing_is_from_in_the_contracts_words():
    note_item = BringItem(
        item="salt", amount=None, unit="", shown_unit="", source=BringFrom.LEFT_NOTE, noted_at=LEFT
    )
    own, _ = supplies_needed([use(there=0.0)], WEEKEND)
    first, _ = supplies_needed([use(n=0)], WEEKEND)
    told = items_told(answer(note_item, *own, *first), setting=Setting())
    assert [source for _, source, _ in told] == ["left note of 10 Jan", "your own use", "planning figure"]


def test_doubts_are_said():
    odd = use("petrol", there=1.0, odd=2, lost=2.0)
    rows = bring_text(answer(uses=(odd,)), setting=Setting())
    assert any("left out 2 times" in row and "brought petrol 5 L" in row for row in rows)
    assert any("2 L went while nobody was there" in row for row in rows)
