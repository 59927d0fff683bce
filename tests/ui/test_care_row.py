"""Cautions in one row: every rule has its short form, dangers come first, what is left out is said."""

from __future__ import annotations

import pytest
from fake_desk import FLOOR
from test_own_pages import Keys

from logbook.heat.cautions import RULES
from logbook.ui.pages.care import MORE, SHORTER, UNTRIED, short_care

NUMBERS = {
    "floor": "1/4 open (3/4 closed)", "air": "10 % open (90 % closed)",
    "damper": "1/2 open (1/2 closed)", "load": "12.4 kg", "limit": "8.0 kg",
    "tried": "9.6 kg", "over": "1.2 kg", "hot": "27 °C", "minutes": "13",
    "nest_day": "on Sat 7 Feb", "air_stands": "10 % open (90 % closed)",
    "damper_stands": "1/2 open (1/2 closed)", "loaded_at": "22:10",
}  # fmt: skip
ELSE_OF_CO = {"below_floor", "damper_on_coals", "air_stands_low", "damper_stands", "co_expired"}
"""Other rules that name carbon monoxide or its alarm."""

WORDS = {
    "nest_in_cap": ("Nest", "flue cap", "no fire"),
    "air_stands_low": ("CO", "open to 1/4 open now"),
    "damper_stands": ("1/2 open", "CO", "open it"),
    "alarms_untested": ("Alarms", "test both"),
    "alarms_tested_cold": ("Alarms", "cold", "again"),
    "co_expired": ("CO alarm", "replace"),
    "smoke_expired": ("Smoke alarm", "replace"),
    "coals_give_co": ("CO", "air", "flue", "open"),
    "below_floor": ("CO", "Under 1/4 open (3/4 closed)", "smoulders"),
    "damper_on_coals": ("CO", "1/2 open (1/2 closed)", "leave it open"),
    "over_limit": ("12.4 kg", "8.0 kg"),
    "turn_down": ("13 min", "air down"),
    "fresh_load": ("22:10", "air wide", "burns well"),
    "cold_start": ("13 min", "kindling", "awake"),
    "freezing": ("freeze", "drain"),
}
"""What a short form may never lose."""


def said(name: str) -> str:
    return next(rule.sentence.format(**NUMBERS) for rule in RULES if rule.name == name)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_rule_fits_a_row_of_80_columns_and_keeps_what_it_says(rule: object) -> None:
    """A rule whose words changed falls out of the list, and then fails here."""
    whole = rule.sentence.format(**NUMBERS)  # type: ignore[attr-defined]  # a rule
    short = short_care([whole], columns=71)
    assert short != whole, "no short form"
    assert len(short) <= 71
    for word in WORDS.get(rule.name, ()):  # type: ignore[attr-defined]  # a rule
        assert word in short, word


def test_no_short_form_is_left_over_from_a_rule_that_is_gone() -> None:
    sentences = [UNTRIED, *(rule.sentence.format(**NUMBERS) for rule in RULES)]
    assert len(SHORTER) == len(sentences)


def test_with_all_of_them_at_once_the_row_still_names_carbon_monoxide() -> None:
    row = short_care([said(rule.name) for rule in RULES], columns=71)
    assert "CO" in row and row.endswith(MORE) and len(row) <= 71


def test_carbon_monoxide_is_never_the_one_left_out() -> None:
    every = [said(rule.name) for rule in RULES if rule.name not in ELSE_OF_CO]
    row = short_care(every, columns=71)
    begins = "Nest in flue cap: no fire. Coals give CO: keep air, flue open."
    assert row.startswith(begins) and row.endswith(MORE) and len(row) <= 71


def test_with_the_timer_both_stand_whole() -> None:
    row = short_care([said("turn_down"), said("coals_give_co"), said("manual_first")], columns=71)
    assert row == "Coals give CO: keep air, flue open. Timer 13 min: turn air down." + MORE


def test_a_caution_without_a_short_form_stands_first_and_whole() -> None:
    assert short_care([said("too_hot"), "A new rule."], columns=71) == "A new rule. May pass 27 °C in sleep."


def test_where_there_is_room_the_sentences_stay_whole() -> None:
    keys = Keys(width=120, height=40).press("t")
    assert FLOOR.split()[0] in keys.text and "UNTRIED here" in " ".join(keys.text.split())


def test_the_advice_takes_one_row_on_a_large_window() -> None:
    from dataclasses import replace  # noqa: PLC0415 - only here

    keys = Keys(width=120, height=40).press("t")
    evening = keys.session.known.evening
    assert evening is not None
    long = replace(evening.answer, advice="Nothing this stove has done holds it all night. " * 4)
    keys.session.known.evening = replace(evening, answer=long, short="Nothing holds 16–22 °C all night.")
    assert keys.screen()[6] == " advice Nothing holds 16–22 °C all night."
    assert keys.screen()[7].startswith("        wood")
