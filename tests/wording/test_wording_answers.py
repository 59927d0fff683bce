"""Answers in words: what to do first, honest when nothing fits, the owner's units, no false precision."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from logbook.records import OwnUnits, Window
from logbook.results.night import (
    Choice,
    FitAnswer,
    LikeNight,
    NightsAnswer,
    NightScore,
    PlannedLoad,
    Range,
    TonightAnswer,
    Untried,
    Why,
)
from logbook.setting import Setting
from logbook.wording.answers import (
    advice_short_text,
    advice_text,
    do_text,
    fit_text,
    how_text,
    night_text,
    outcome_text,
    reasons_text,
    score_text,
    verdict_text,
)

BED = datetime(2026, 1, 16, 22, 30, tzinfo=UTC)
WAKE = BED + timedelta(hours=8)
HERE = Setting(zone="UTC")
IMPERIAL = Setting(zone="UTC", units=OwnUnits(temperature="F", mass="lb"))


def load(kg: float = 4.4, pieces: str = "1M 1L", at: datetime = BED, air: float = 25.0) -> PlannedLoad:
    return PlannedLoad(at=at, kg=kg, kg_dry=0.82 * kg, pieces=pieces, air_open_pct=air, open_minutes=12)


def choice(
    *loads: PlannedLoad, wake=(13.0, 17.0, 20.0), peak=(21.0, 22.5, 24.0), **changes: object
) -> Choice:
    base = Choice(
        loads=loads, air_open_pct=25.0, window=Window.SHUT, indoor_min_c=Range(*wake),
        indoor_max_c=Range(*peak), indoor_at_wake_c=Range(*wake), chance_in_band=0.3,
        degree_hours_outside=5.0, wood_kg=sum(x.kg for x in loads), hours=(), indoor_p05_c=(),
        indoor_p50_c=(), indoor_p95_c=(), untried=False, reasons=(), cautions=(),
    )  # fmt: skip
    return replace(base, **changes)


def answer(*choices: Choice) -> TonightAnswer:
    return TonightAnswer(
        as_of=BED, bed=BED, wake=WAKE, band_c=(16.0, 22.0), choices=choices, advice="", cautions=()
    )


NO_FIRE = choice(wake=(5.0, 8.0, 10.0), chance_in_band=0.0)


def advice(*choices: Choice, low: float | None = -5.0, setting: Setting = HERE) -> str:
    return advice_text(answer(*choices), setting=setting, outdoor_low_c=low)


def test_a_choice_that_holds_is_said_with_its_range_and_chance():
    said = advice(choice(load(), chance_in_band=0.72), NO_FIRE)
    assert said == (
        "1 M 1 L (4.4 kg) at 22:30, air 1/4 open (3/4 closed): 13–20 °C, likely 17 °C at 06:30. "
        "16–22 °C all night: 7 nights in 10."
    )


def test_when_nothing_clean_holds_it_says_so_and_names_the_nearest():
    said = advice(choice(load()), NO_FIRE)
    assert said.startswith("Nothing clean is sure to hold 16–22 °C all night.")
    assert said.endswith(
        "Nearest to it: 1 M 1 L (4.4 kg) at 22:30, air 1/4 open (3/4 closed), 3 nights in 10."
    )


def test_when_only_getting_up_would_hold_it_says_that():
    second = choice(load(1.6, "1M"), load(3.2, "2M", BED + timedelta(hours=4)), chance_in_band=0.8)
    said = advice(choice(load()), second, NO_FIRE)
    assert "Getting up in the night would hold it" in said
    assert "Nothing clean" not in said


def test_dont_burn_when_it_stays_above_anyway():
    warm = choice(wake=(16.0, 17.0, 18.0), peak=(17.0, 18.0, 18.4))
    assert advice(warm, low=9.0) == (
        "Don't burn tonight: with no fire it stays 16–18 °C to 06:30 at +9 °C outside."
    )


def test_when_every_fire_is_too_much_it_says_what_the_smallest_does():
    small = choice(load(1.6, "1M"), peak=(24.0, 25.0, 27.0))
    said = advice(replace(NO_FIRE, indoor_at_wake_c=Range(12.0, 13.0, 15.0)), small)
    assert said == "No clean fire fits 16–22 °C: 1 M peaks at 24–27 °C. No fire: 12–15 °C at 06:30."
    aired = replace(NO_FIRE, indoor_at_wake_c=Range(12.0, 13.0, 15.0), window=Window.CRACKED)
    assert advice(aired, small).endswith("No fire, window cracked: 12–15 °C at 06:30.")


def test_while_wood_burns_a_choice_without_a_load_is_no_more_wood():
    """Right after a load it said "Don't burn tonight: with no fire it stays ..."."""
    warm = choice(wake=(16.0, 17.0, 18.0), peak=(17.0, 18.0, 18.4))
    cold = replace(NO_FIRE, indoor_at_wake_c=Range(12.0, 13.0, 15.0))
    small = choice(load(1.6, "1M"), peak=(24.0, 25.0, 27.0))
    for choices, said, short in (
        ((warm,),
         "No more wood tonight: with what is in the stove it stays 16–18 °C to 06:30 at −5 °C outside.",
         "No more wood tonight: it stays 16–18 °C to 06:30."),
        ((replace(warm, window=Window.CRACKED),),
         "No more wood tonight: with what is in the stove, window cracked, it stays 16–18 °C to 06:30 at "
         "−5 °C outside.", "No more wood tonight: it stays 16–18 °C to 06:30."),
        ((cold, small),
         "No more wood fits 16–22 °C: with 1 M more the peak is 24–27 °C. With none: 12–15 °C at 06:30.",
         "No more wood fits 16–22 °C. With none 12–15 °C at 06:30."),
        ((cold,), "No more wood fits here. With none: 12–15 °C at 06:30.",
         "No more wood fits 16–22 °C. With none 12–15 °C at 06:30."),
    ):  # fmt: skip
        burning = replace(answer(*choices), wood_burns=True)
        assert advice_text(burning, setting=HERE, outdoor_low_c=-5.0) == said
        assert advice_short_text(burning, setting=HERE) == short


def test_a_choice_that_holds_without_getting_up_is_not_said_to_need_it():
    """One may stand second because it is too hot early in the night, or was never tried."""
    second = choice(load(), chance_in_band=0.8)
    assert "Getting up" not in advice(choice(load()), second, NO_FIRE)
    assert "getting up" not in advice_short_text(answer(choice(load()), second, NO_FIRE), setting=HERE)


def test_the_owners_units_everywhere():
    """4.4 kg is 9.7 lb; 16–22 °C is 61–72 °F (61, 60.8 rounded; 71.6)."""
    said = advice(choice(load(), chance_in_band=0.72), setting=IMPERIAL)
    assert "9.7 lb" in said
    assert "61–72 °F all night" in said
    assert "°C" not in said
    assert "kg" not in said


def test_air_is_said_both_ways_and_a_window_named():
    assert do_text(choice(load(), window=Window.CRACKED), setting=HERE) == (
        "1 M 1 L (4.4 kg) at 22:30, air 1/4 open (3/4 closed), window cracked"
    )
    assert do_text(NO_FIRE, setting=HERE) == "No more wood, air 1/4 open (3/4 closed)"


def test_loads_with_airs_of_their_own_say_each():
    said = do_text(choice(load(air=50.0), load(2.0, "", BED + timedelta(hours=4))), setting=HERE)
    assert said.startswith("1 M 1 L (4.4 kg) at 22:30 (air 1/2 open (1/2 closed)), then 2.0 kg at 02:30")


def test_a_cold_stove_is_lit_with_kindling():
    cold = choice(replace(load(), kindling=True, open_minutes=22))
    assert how_text(cold).startswith("Light with kindling; air wide open for about 22 min")
    assert how_text(choice(load())).startswith("Air wide open for about 12 min")
    assert how_text(NO_FIRE) == ""


def test_an_outcome_has_its_costs():
    assert outcome_text(choice(load()), answer(), setting=HERE) == (
        "At 06:30 13–20 °C, likely 17 °C; peak 21–24 °C; 16–22 °C all night: 3 nights in 10; wood 4.4 kg."
    )


LIKE = LikeNight(
    bed=datetime(2026, 1, 10, 22, 0, tzinfo=UTC), load_kg=3.2, pieces="2M", air_open_pct=33.3,
    window=Window.SHUT, start_c=19.0, outdoor_low_c=-9.0, woke_c=14.1,
)  # fmt: skip


def reasons(why: Why, setting: Setting = HERE) -> tuple[str, ...]:
    return reasons_text(why, setting=setting, as_of=BED)


def test_reasons_name_the_nights_they_rest_on():
    (said,) = reasons(Why(nights=6, like=(LIKE,)))
    assert said == (
        "Rests on 6 nights. Most alike: Sat 10 Jan: 2 M, 1/3 open (2/3 closed), −9 °C out, 19 °C at bed, "
        "woke at 14.1 °C."
    )
    (long_ago,) = reasons(Why(nights=6, like=(replace(LIKE, bed=LIKE.bed - timedelta(days=364)),)))
    assert "Sat 11 Jan 2025:" in long_ago


def test_no_night_yet_is_said_once():
    assert reasons(Why(nights=0, like=(), untried=(Untried.NO_NIGHTS,))) == (
        "Rests on the description alone: no night of yours is on record yet, so the range is wide.",
    )


def test_what_would_move_it_comes_largest_first_and_small_things_are_left_out():
    said = reasons(
        Why(
            nights=6, like=(), colder_outside_k=-1.4, window_cracked_k=-4.1, more_wood_k=0.2, more_wood_kg=2.0
        )
    )[1]
    assert said == (
        "At waking: window cracked all night about 4.1 °C lower, 3 °C colder outside about 1.4 °C lower."
    )


def test_differences_in_fahrenheit_have_no_32():
    """1.4 K is 2.5 °F of difference; 3 K is 5 °F."""
    said = reasons(Why(nights=6, like=(), colder_outside_k=-1.4), IMPERIAL)[1]
    assert said == "At waking: 5 °F colder outside about 2.5 °F lower."


def test_what_is_untried_is_in_capitals():
    said = reasons(Why(nights=6, like=(), untried=(Untried.BIGGER_LOAD, Untried.LOAD_IN_THE_NIGHT)))[-1]
    assert (
        said
        == "UNTRIED here: a load this big and a load in the middle of the night. The range is a wide guess."
    )


@pytest.mark.parametrize("part", Untried)
def test_every_untried_part_has_words(part):
    assert reasons(Why(nights=3, like=(), untried=(part,)))


def score(seen: float | None, said: tuple[float, float, float] = (14.0, 17.0, 21.0)) -> NightScore:
    inside = None if seen is None else said[0] <= seen <= said[2]
    return NightScore(
        bed=BED, wake=WAKE, predicted_at_wake_c=Range(*said), observed_at_wake_c=seen, inside_90=inside,
        wood_kg=4.8, air_open_pct=33.3,
    )  # fmt: skip


VERDICTS = [
    (16.8, "inside"),
    (14.0, "inside"),
    (12.6, "low, 1.4 °C under"),
    (22.3, "high, 1.3 °C over"),
    (None, "nobody read it"),
]


@pytest.mark.parametrize(("seen", "words"), VERDICTS)
def test_verdicts(seen, words):
    assert verdict_text(score(seen), units=HERE.units) == words


def test_a_night_in_a_line():
    assert night_text(score(12.6), setting=HERE) == (
        "Fri 16 Jan 2026: 4.8 kg, 1/3 open (2/3 closed). Said 14–21 °C, likely 17 °C for 06:30; "
        "woke to 12.6 °C, low, 1.4 °C under."
    )


def test_a_night_without_a_load_near_bed_is_not_said_to_have_had_no_fire():
    """The evening's fire may have burned into it: it was told as "no fire"."""
    night = replace(score(12.6), wood_kg=0.0)
    assert night_text(night, setting=HERE).startswith("Fri 16 Jan 2026: no wood at bed. Said ")
    like = LikeNight(
        bed=BED, load_kg=0.0, pieces="", air_open_pct=None, window=Window.SHUT, start_c=None,
        outdoor_low_c=None, woke_c=12.6,
    )  # fmt: skip
    assert "Fri 16 Jan: no wood at bed, woke at 12.6 °C" in " ".join(
        reasons(Why(nights=1, like=(like,), untried=()))
    )


def test_the_score_says_how_many_to_expect():
    nights = tuple(score(16.8) for _ in range(21)) + tuple(score(12.6) for _ in range(2))
    got = NightsAnswer(nights=nights, count=23, inside_90=21, rmse_c=1.9)
    assert score_text(got, units=HERE.units) == (
        "23 nights told beforehand: 21 woke inside the range (expect about 21).",
        "Usual miss 1.9 °C. Ranges were 7.0 °C wide.",
    )
    none = NightsAnswer(nights=(), count=0, inside_90=0, rmse_c=None)
    assert score_text(none, units=HERE.units)[0].startswith("No night told beforehand yet.")


FIT = FitAnswer(
    heat_loss_w_per_k=Range(78.0, 86.0, 96.0), time_constant_h=Range(7.0, 8.0, 9.5),
    heat_capacity_mj_per_k=Range(2.0, 2.5, 3.0), stove_efficiency=Range(0.62, 0.68, 0.75), readings=60,
    stays=5, effective_draws=130.0, seconds=2.0, from_description_only=False,
)  # fmt: skip


def test_what_was_learned_in_words():
    said = fit_text(FIT, units=HERE.units, zone=HERE.zone)
    assert said[0] == "Loses 78–96 W per °C of difference, likely 86."
    assert said[3].startswith("Stove gives 62–75 %")
    assert "60 readings of 5 stays" in said[-1]


def test_heat_loss_per_degree_fahrenheit_is_less_by_1_8():
    assert (
        fit_text(FIT, units=IMPERIAL.units, zone=HERE.zone)[0]
        == "Loses 43–53 W per °F of difference, likely 48."
    )


def test_what_can_not_be_told_says_why():
    untold = replace(
        FIT, time_constant_h=None, cannot_tell=(("time_constant_h", "The room was never let cool."),)
    )
    assert (
        fit_text(untold, units=HERE.units, zone=HERE.zone)[1]
        == "Time constant: can't be told. The room was never let cool."
    )
