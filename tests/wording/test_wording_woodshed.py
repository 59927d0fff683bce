"""The wood shed's sentences, one by one, from answers made by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from logbook.errors import LogFileError
from logbook.records import Basis, OwnUnits
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
from logbook.setting import Setting
from logbook.wording.amounts import date_text
from logbook.wording.bulk import (
    bulk_range_text,
    bulk_span_text,
    bulk_text,
    count_range_text,
    in_unit_text,
    month_text,
    small_text,
    span_in_unit_text,
)
from logbook.wording.woodshed import (
    all_sentences,
    assumed_text,
    counted_text,
    enough_text,
    lasting_text,
    left_text,
    moisture_text,
    next_winter_text,
    overdrawn_text,
    ready_text,
    stack_text,
    wood_text,
)

ZONE = "Etc/GMT-1"
KG = Setting(zone=ZONE)
POUNDS = Setting(zone=ZONE, units=OwnUnits(temperature="F", mass="lb"))
TODAY = date(2026, 1, 16)
AT = datetime(2026, 1, 16, 20, tzinfo=UTC)
STERE = Unit(word="stere", m3=1.0)
BOX = Unit(word="boxes", kg=19.0)
AIR = ShedAir(temperature_c=(2.0,) * 12, settles_at_dry_pct=(18.0,) * 12)

BIRCH = StackLeft(
    name="birch",
    species="birch",
    species_known=True,
    where="",
    put_up=datetime(2025, 5, 4, 10, tzinfo=UTC),
    split_on=date(2025, 5, 1),
    unit=STERE,
    left_kg=Range(165.0, 195.0, 235.0),
    left_kg_dry=Range(140.0, 165.0, 195.0),
    left_m3=Range(0.36, 0.43, 0.49),
    burned_kg=210.0,
    moisture_dry_pct=Range(18.0, 22.0, 25.0),
    moisture_from=MoistureFrom.SPLIT_DATE,
    metered=None,
    ready=Ready(already=True, early=date(2025, 8, 1), about=date(2025, 10, 1), late=date(2025, 12, 1)),
    heat_mj=Range(2500.0, 2970.0, 3500.0),
    counted=None,
    overdrawn=None,
)

ANSWER = WoodAnswer(
    as_of=AT,
    stacks=(BIRCH,),
    left_kg=BIRCH.left_kg,
    dry_enough_kg=BIRCH.left_kg,
    untold_kg=None,
    wet_kg=None,
    burnable_kg=BIRCH.left_kg,
    use=Use(
        rests_on=UseFrom.OWN_STAYS,
        stays=11,
        outdoor_c=-2.0,
        night_kg=Range(13.0, 15.0, 18.0),
        weekend_kg=Range(22.0, 30.0, 41.0),
        nights_per_weekend=2.0,
    ),
    nights_left=Range(10.0, 13.0, 17.0),
    weekends_left=Range(5.0, 6.5, 8.5),
    this_winter=None,
    next_winter=None,
    cost=None,
    unplaced=(),
    settles_now_dry_pct=Range(15.5, 18.0, 20.5),
    air=AIR,
)


def said(answer: WoodAnswer, setting: Setting = KG) -> str:
    return " ".join(lasting_text(answer, setting=setting))


# How long it lasts


def test_what_there_is_and_for_how_long():
    assert lasting_text(ANSWER, setting=KG) == (
        "Dry enough to burn: 195 kg (165 to 235).",
        "It lasts 13 nights (10 to 17), or 6 weekends (5 to 8) of 2 nights.",
        "A night takes 15 kg (13 to 18) at −2 °C outside, the mean of the cold months ahead: by 11 "
        "stays of yours.",
    )


def test_the_same_in_pounds_and_fahrenheit():
    rows = lasting_text(ANSWER, setting=POUNDS)
    assert rows[0] == "Dry enough to burn: 430 lb (365 to 520)."
    assert rows[2].startswith("A night takes 33 lb (29 to 40) at 28 °F outside")


def test_wood_too_wet_and_wood_nobody_measured_stand_apart():
    wet = replace(ANSWER, wet_kg=Range(80.0, 100.0, 120.0), untold_kg=Range(40.0, 50.0, 60.0))
    assert "Not dry enough yet: 100 kg (80 to 120)." in said(wet)
    assert "Moisture not known, and counted on below all the same: 50 kg (40 to 60)." in said(wet)


def test_a_single_night_and_stay_are_singular():
    use = replace(ANSWER.use, stays=1, nights_per_weekend=1.0)
    one = replace(ANSWER, use=use, nights_left=Range(0.6, 1.0, 1.4), weekends_left=Range(0.6, 1.0, 1.4))
    assert "It lasts 1 night, or 1 weekend of 1 night." in said(one)
    assert "by one stay of yours." in said(one)


def test_nothing_left_lasts_for_no_nights_and_is_not_counted_out():
    none = Range(0.0, 0.0, 0.0)
    empty = replace(ANSWER, dry_enough_kg=none, burnable_kg=none, nights_left=none, weekends_left=none)
    assert "It lasts" not in said(empty)
    assert "A night takes 15 kg" in said(empty)


def test_by_heat_loss_it_says_what_that_means():
    use = replace(ANSWER.use, rests_on=UseFrom.HEAT_LOSS, stays=0, by_heat_loss_kg=Range(20.0, 30.0, 40.0))
    text = said(replace(ANSWER, use=use))
    assert "by what the cabin loses, kept warm for 48 h a weekend." in text
    assert "it would take" not in text  # the same figure is not said twice
    both = replace(ANSWER.use, by_heat_loss_kg=Range(30.0, 40.0, 48.0))
    assert "Kept warm for 48 h it would take 40 kg (30 to 48) by what the cabin loses." in said(
        replace(ANSWER, use=both)
    )


WINTER = ThisWinter(
    until=date(2026, 5, 1),
    nights=Range(8.0, 12.0, 16.0),
    weekends=Range(4.0, 6.0, 8.0),
    wood_kg=Range(120.0, 180.0, 250.0),
    by_former_winters=2,
)


@pytest.mark.parametrize(
    ("former", "by"),
    [
        (2, "as after this day in 2 winters before"),
        (1, "as after this day in the winter before"),
        (0, "if it goes on as so far"),
    ],
)
def test_what_this_winter_still_takes(former, by):
    text = said(replace(ANSWER, this_winter=replace(WINTER, by_former_winters=former)))
    assert f"Until 1 May there are about 12 nights (8 to 16) to come, {by}: 180 kg (120 to 250)." in text


@pytest.mark.parametrize(
    ("have", "words"),
    [
        (Range(300.0, 350.0, 400.0), " That wood is enough for it."),
        (Range(160.0, 195.0, 235.0), " That wood may be enough for it."),
        (Range(100.0, 150.0, 200.0), " That wood may fall short."),
        (Range(50.0, 80.0, 110.0), " That wood is not enough for it."),
        (None, " That wood is not enough for it."),
    ],
)
def test_whether_it_is_enough_is_plain_only_where_the_ranges_are_apart(have, words):
    assert enough_text(replace(ANSWER, this_winter=WINTER, burnable_kg=have)) == words


def test_without_a_figure_for_this_winter_nothing_is_said_of_enough():
    assert enough_text(ANSWER) == ""
    assert enough_text(replace(ANSWER, this_winter=replace(WINTER, wood_kg=None))) == ""


# What to split


NEXT = NextWinter(
    starts=date(2026, 10, 1),
    usual_kg=Range(250.0, 320.0, 410.0),
    winters=2,
    left_then_kg=Range(0.0, 20.0, 100.0),
    to_cut_kg=Range(200.0, 300.0, 400.0),
    to_cut_m3=Range(0.5, 0.7, 0.9),
    species="birch",
    unit=STERE,
    split_before=date(2026, 5, 1),
    split_safely_before=date(2025, 7, 1),
)


def next_text(**changes: object) -> str:
    return next_winter_text(replace(NEXT, **changes), today=TODAY, units=KG.units)


def test_what_to_split_before_which_day():
    assert next_text() == (
        "Next winter (from 1 Oct 2026) takes 320 kg (250 to 410), by 2 winters on record: split another "
        "0.70 stere (0.50 to 0.90), 300 kg (200 to 400) of birch, green wood before 1 May 2026, to be on the "
        "safe side before 1 Jul 2025 (past)."
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"winters": 0}, ", by this one: split"),
        ({"winters": 1}, ", by one winter on record: split"),
        ({"to_cut_kg": Range(0.0, 90.0, 200.0)}, ": perhaps split another"),
        ({"to_cut_kg": Range(0.0, 0.0, 0.0)}, ": what is left then is enough."),
        (
            {"to_cut_kg": Range(0.0, 0.0, 60.0)},
            "most likely what is left then is enough; at worst 60 kg more.",
        ),
        ({"unit": None}, "split another 300 kg (200 to 400) of birch"),
        ({"unit": BOX}, "split another 300 kg (200 to 400) of birch"),
        ({"to_cut_m3": None}, "split another 300 kg (200 to 400) of birch"),
        ({"species": ""}, "300 kg (200 to 400), green wood before 1 May 2026"),
        ({"split_safely_before": date(2026, 3, 1)}, "to be on the safe side before 1 Mar 2026."),
        ({"split_safely_before": None}, "green wood before 1 May 2026."),
        (
            {"split_before": date(2026, 1, 1)},
            "green wood should have been split before 1 Jan 2026: take dry wood.",
        ),
        ({"split_before": None}, "split green it does not get dry enough by then in this air."),
    ],
)
def test_every_way_the_next_winter_can_stand(changes, words):
    assert words in next_text(**changes)


# One stack


def test_a_stack_s_rows():
    assert stack_text(replace(BIRCH, where="north wall"), today=TODAY, setting=KG) == (
        "birch, put up Sun 4 May 2025, split 1 May 2025, north wall",
        "  Left: 0.43 stere (0.36 to 0.49), 195 kg (165 to 235); heat 0.82 MWh (0.69 to 0.97).",
        "  Moisture 18 % of the wet wood now (15 to 20), by the day it was split and drying since.",
        "  Ready: dry enough to burn (20 % of the wet wood) by now.",
    )


def test_a_name_that_does_not_say_the_wood_has_it_in_brackets():
    head = stack_text(replace(BIRCH, name="north wall"), today=TODAY, setting=KG)[0]
    assert head.startswith("north wall (birch), put up")
    assert stack_text(BIRCH, today=TODAY, setting=KG)[0].startswith("birch, put up")


def test_wood_of_no_known_kind_says_that_its_mass_is_a_guess():
    rows = stack_text(replace(BIRCH, species="", species_known=False), today=TODAY, setting=KG)
    assert rows[-1] == "  Its kind of wood is not told closely, so its mass is a wide guess."


def test_boxes_by_weight_are_told_in_boxes():
    boxes = replace(BIRCH, unit=BOX, left_m3=None)
    assert left_text(boxes, units=KG.units).startswith("Left: 10.3 boxes (8.7 to 12.4), 195 kg")


def test_wood_written_in_kilograms_is_not_told_twice():
    kilos = replace(BIRCH, unit=Unit(word="kg", kg=1.0), left_m3=None)
    assert left_text(kilos, units=KG.units).startswith("Left: 195 kg (165 to 235); heat")


def test_an_empty_stack():
    none = Range(0.0, 0.0, 0.0)
    empty = replace(BIRCH, left_kg=none, left_m3=none, heat_mj=none)
    assert left_text(empty, units=KG.units) == "Left: nothing, by what was written as burned."
    found_gone = replace(empty, counted=Counted(at=AT, counted_m3=0.0, counted_kg=none))
    assert left_text(found_gone, units=KG.units) == "Left: nothing, by the count.", "hardly any was burned"


@pytest.mark.parametrize(
    ("rests_on", "basis", "words"),
    [
        (
            MoistureFrom.FRESH_FACE,
            Basis.WET,
            "Moisture 18 % of the wet wood now (15 to 20), by meter on a fresh",
        ),
        (
            MoistureFrom.FRESH_FACE,
            Basis.DRY,
            "Moisture 22 % of the dry wood now (18 to 25), by meter on a fresh",
        ),
        (
            MoistureFrom.OUTSIDE_FACE,
            Basis.DRY,
            "by meter on an outside face, and the inside may be far wetter.",
        ),
        (MoistureFrom.SPLIT_DATE, Basis.DRY, "by the day it was split and drying since."),
    ],
)
def test_moisture_says_its_basis_and_what_it_rests_on(rests_on, basis, words):
    assert words in moisture_text(replace(BIRCH, moisture_from=rests_on), basis=basis)


@pytest.mark.parametrize(
    ("fresh", "words"),
    [(True, "fresh face)"), (False, "outside face: at least that)"), (None, "face not told: at least that)")],
)
def test_readings_stand_as_written(fresh, words):
    meter = Metered(at=AT, readings_pct=(17.0, 19.5, 21.0), basis="dry", fresh_face=fresh)
    rows = stack_text(replace(BIRCH, metered=meter), today=TODAY, setting=KG)
    assert f"  Meter Fri 16 Jan 2026: 17, 19.5, 21 % (dry basis, {words}." in rows


@pytest.mark.parametrize(
    ("left_out", "words"), [(1, "1 of them can't be, and is left out."), (2, "are left out.")]
)
def test_readings_that_cannot_be_are_said_to_be_left_out(left_out, words):
    meter = Metered(at=AT, readings_pct=(17.0, 250.0), basis="dry", fresh_face=True, left_out=left_out)
    rows = stack_text(replace(BIRCH, metered=meter), today=TODAY, setting=KG)
    assert words in " ".join(rows)


SOON, LATER, LAST = date(2026, 4, 5), date(2026, 6, 1), date(2026, 9, 20)


@pytest.mark.parametrize(
    ("ready", "words"),
    [
        (
            Ready(already=False, early=SOON, about=LATER, late=LAST),
            "about Jun 2026; it may be Apr 2026 to Sep 2026.",
        ),
        (
            Ready(already=False, early=SOON, about=LATER, late=None),
            "it may be Apr 2026 or not within three years.",
        ),
        (Ready(already=False, early=SOON, about=None, late=None), "perhaps never in this air"),
        (Ready(already=False, early=None, about=None, late=None), "not within three years in this air."),
        (
            Ready(already=True, early=SOON, about=date(2026, 1, 1), late=LAST),
            "if it dries slowly, not until Sep 2026.",
        ),
        (
            Ready(already=True, early=SOON, about=date(2026, 1, 1), late=None),
            "if it dries slowly, not for years.",
        ),
    ],
)
def test_ready_is_a_range_of_months(ready, words):
    assert words in ready_text(ready, today=TODAY)


COUNTED = Counted(
    at=AT,
    counted_m3=0.4,
    counted_kg=Range(150.0, 180.0, 210.0),
    reckoned_m3=Range(0.5, 0.55, 0.6),
    reckoned_kg=Range(200.0, 250.0, 300.0),
    more_went_kg=41.0,
    agrees=False,
)


def test_a_count_that_differs():
    assert counted_text(COUNTED, unit=STERE, setting=KG) == (
        "Counted Fri 16 Jan 2026: 0.40 stere, reckoned 0.50 to 0.60 stere: about 41 kg more went than was "
        "written."
    )
    less = replace(COUNTED, more_went_kg=-30.0)
    assert counted_text(less, unit=STERE, setting=POUNDS).endswith(
        "about 65 lb less went than was written, or more was there."
    )


def test_a_count_by_mass_is_told_by_mass():
    by_mass = replace(COUNTED, counted_m3=None, reckoned_m3=None, agrees=True)
    assert counted_text(by_mass, unit=None, setting=KG) == (
        "Counted Fri 16 Jan 2026: 180 kg (150 to 210), reckoned 200 to 300 kg: they agree."
    )


def test_more_burned_than_there_was():
    over = Overdrawn(since=AT, burned_kg=412.0, there_kg=Range(300.0, 345.0, 390.0))
    assert overdrawn_text(over, "birch", setting=KG) == (
        "More was burned than was there: 410 kg written since Fri 16 Jan 2026, 300 to 390 kg there then. "
        "Nothing is lost; count what is left:  count birch 0.2 stere"
    )


# Beside, and the whole


def test_cost_is_for_a_hundred_of_the_owner_s_unit():
    cost = Cost(money_per_kg=0.2, money_per_m3=80.0, hours_per_kg=0.01, hours_per_m3=4.0, stacks=1)
    answer = replace(ANSWER, cost=cost)
    assert "100 kg cost 20 in money and 1.00 h of work, by the stack it was written for." in wood_text(
        answer, setting=KG
    )
    in_pounds = wood_text(answer, setting=POUNDS)
    assert "100 lb cost 9.1 in money and 0.45 h of work, by the stack it was written for." in in_pounds
    only_hours = replace(answer, cost=replace(cost, money_per_kg=None, stacks=3))
    assert "100 kg cost 1.00 h of work, by the 3 stacks it was written for." in wood_text(
        only_hours, setting=KG
    )


def test_wood_from_nowhere_is_said():
    answer = replace(ANSWER, unplaced=(Unplaced(species="oak", kg=12.0),))
    assert "12 kg of oak burned since the first stack was put up belongs to none of them." in wood_text(
        answer, setting=KG
    )


def test_the_air_is_said_to_be_assumed_or_the_owner_s():
    assert assumed_text(ANSWER, setting=KG)[0] == (
        "The air is assumed, that of a cool temperate inland place; wood left long in this month's air "
        "settles at 13 to 17 % of the wet wood."
    )
    own = replace(ANSWER, air=replace(AIR, months_read=3))
    assert assumed_text(own, setting=KG)[0].startswith("The air is assumed but for 3 months of your own")
    first = replace(ANSWER, air=replace(AIR, months_read=1))
    assert assumed_text(first, setting=KG)[0].startswith("The air is assumed but for 1 month of your own")
    dry = assumed_text(ANSWER, setting=replace(KG, moisture_basis=Basis.DRY))
    assert "settles at 16 to 20 % of the dry wood" in dry[0]


def test_the_share_of_wood_in_a_stack_is_said_only_where_a_volume_was_given():
    by_mass = replace(ANSWER, stacks=(replace(BIRCH, left_m3=None),))
    assert not [row for row in assumed_text(by_mass, setting=KG) if "55 to 70 %" in row]


def test_one_sentence_a_stack():
    assert list(all_sentences(ANSWER, setting=KG)) == [
        "birch: 0.43 stere (0.36 to 0.49), 195 kg (165 to 235); heat 0.82 MWh (0.69 to 0.97); 18 % of "
        "the wet wood now (15 to 20), by the day it was split and drying since."
    ]


# Amounts


@pytest.mark.parametrize(
    ("kg", "text"), [(0.0, "0 kg"), (0.3, "0.5 kg"), (7.6, "8 kg"), (52.0, "50 kg"), (1234.0, "1,230 kg")]
)
def test_a_mass_has_no_more_digits_than_are_known(kg, text):
    assert bulk_text(kg, units=KG.units) == text


def test_ends_that_are_the_same_are_said_once():
    same = Range(20.1, 20.2, 20.3)
    assert bulk_range_text(same, units=KG.units) == "20 kg"
    assert bulk_span_text(same, units=KG.units) == "20 kg"
    assert count_range_text(Range(2.9, 3.0, 3.1), "night") == "3 nights"
    assert in_unit_text(Range(0.4, 0.4, 0.4), STERE) == "0.40 stere"
    assert span_in_unit_text(Range(0.4, 0.4, 0.4), STERE) == "0.40 stere"


@pytest.mark.parametrize(("value", "text"), [(0.431, "0.43"), (2.04, "2.0"), (31.4, "31")])
def test_small_numbers_have_two_or_three_digits(value, text):
    assert small_text(value) == text


def test_days_and_months():
    assert date_text(date(2026, 10, 1), year=False) == "1 Oct"
    assert date_text(date(2026, 10, 1)) == "1 Oct 2026"
    assert month_text(None) == ""


@pytest.mark.parametrize("units", [KG.units, POUNDS.units])
def test_a_mass_without_end_is_the_logs_damage_and_no_traceback(units: OwnUnits) -> None:
    """Out of a matter in a database by another hand; found by the fuzz."""
    with pytest.raises(LogFileError, match="beyond all measure"):
        bulk_text(float("inf"), units=units)
