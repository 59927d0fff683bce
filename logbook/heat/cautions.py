"""Every safety rule once: when it applies, what is said, and where it comes from.

A rule is data. ``applying`` picks the rules that apply to the facts of one answer or one choice; whoever
words the answer fills the numbers into the sentence, in the owner's units. The same rules run over
what is advised and over what an owner tries or did.

None of this replaces the stove's manual, local codes or licensed practice; the rules say so themselves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

TOO_HOT_C = 28.0
"""A sleeping room above this is never suggested first, °C. Source: proposed ceiling for bedrooms of
27 °C (vulnerable) and 28 °C (others), a review as reported; page not kept."""

TOO_HOT_CHANCE = 0.05
"""Chance of it that rules a first place out. The contract's figure."""

FREEZING_IN_ROOM_C = 3.0
"""A room that may fall to this counts as freezing possible, °C: pipes lie lower and colder than the
thermometer. ASSUMED 3 K of margin."""

FREEZING_CHANCE = 0.05
"""Chance of that from which the caution stands. ASSUMED: the lower end of the 90 % range."""

DAMP_WET_PCT = 20.0
"""Wood wetter than this burns badly, % of the wet mass. Source: the US EPA's Burn Wise, 20 % (as reported;
which basis it means is not said there; taken as wet, the milder reading)."""

COLD_PIPES_OUTDOOR_C = -6.6
"""Outdoor temperature at which uninsulated pipes freeze in a kept house, °C (20 °F, −6.67 °C, and a hair
more: 20 °F as an owner types it must count however the sums round). Source: Univ. of Illinois Building
Research Council, as reported; page not kept."""


class Scope(StrEnum):
    """Where a rule's sentence stands."""

    FIRST = "first"
    """The first line of any answer."""
    ANSWER = "answer"
    """With the answer as a whole."""
    CHOICE = "choice"
    """With the choice it is about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the rules look at; one record for an answer (about the log) or a choice (about a plan).

    Air in per cent open, temperatures °C, masses kg as weighed, chances 0–1.
    ``least_air_pct`` is the least air while wood or coals are in the stove, None when nothing burns;
    ``least_damper_pct`` likewise for a flue damper being closed. ``own_turn_down``: the plan says itself
    when the air goes down. ``nest_seen``: when a nest that still stands in the flue cap was last seen.
    ``tried_cap_kg`` is 1.25 times the largest load on record, None before five. ``burns_now``: something
    burns or glows at the moment of asking; ``standing_air_pct`` and ``standing_damper_pct`` are lever and
    flue damper as last written, None when they never were. ``alarms_tested_cold``: tested in this stay,
    but in a room colder than alarms are rated from, and warm since. ``fresh_load_at``: when wood went in
    that hardly burns well yet, and its air was not set since.
    """

    alarms_tested: bool = True
    alarms_tested_cold: bool = False
    smoke_expired: bool = False
    co_expired: bool = False
    nest_seen: datetime | None = None
    floor_assumed: bool = False
    clean_floor_pct: float = 0.0
    moisture_wet_pct: float = 0.0
    burns: bool = False
    least_air_pct: float | None = None
    least_damper_pct: float | None = None
    biggest_load_kg: float = 0.0
    overfilled_kg: float = 0.0
    max_load_kg: float = float("inf")
    tried_cap_kg: float | None = None
    chance_too_hot: float = 0.0
    load_in_the_night: bool = False
    cold_start: bool = False
    open_minutes: float = 0.0
    own_turn_down: bool = False
    no_load: bool = False
    water_in: bool = False
    chance_freezing: float = 0.0
    outdoor_low_c: float | None = None
    burns_now: bool = False
    standing_air_pct: float | None = None
    standing_damper_pct: float | None = None
    fresh_load_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """One safety rule. ``sentence`` may hold ``{floor}``, ``{air}``, ``{damper}``, ``{load}``, ``{limit}``,
    ``{tried}``, ``{hot}``, ``{minutes}``, ``{over}``, ``{nest_day}``, ``{air_stands}``, ``{damper_stands}``,
    ``{loaded_at}``: filled in the owner's units."""

    name: str
    scope: Scope
    applies: Callable[[Facts], bool]
    sentence: str
    source: str


def _below_floor(f: Facts) -> bool:
    return f.least_air_pct is not None and f.least_air_pct < f.clean_floor_pct - 0.5


def _stands_low(f: Facts) -> bool:
    stands = f.standing_air_pct
    return f.burns_now and stands is not None and stands < f.clean_floor_pct - 0.5


def _damper_stands(f: Facts) -> bool:
    stands = f.standing_damper_pct
    return f.burns and stands is not None and stands < 99.5


def _freezing(f: Facts) -> bool:
    cold_outside = f.outdoor_low_c is not None and f.outdoor_low_c <= COLD_PIPES_OUTDOOR_C and f.no_load
    return f.water_in and (f.chance_freezing >= FREEZING_CHANCE or cold_outside)


RULES: tuple[Rule, ...] = (
    Rule(
        "alarms_untested",
        Scope.FIRST,
        lambda f: not f.alarms_tested,
        'Alarms not tested this stay. Press the test button on both, smoke and CO, then write "alarms ok".',
        "Smoke alarms monthly: NFPA as quoted by a fire department (as reported); each stay: common practice",
    ),
    Rule(
        "alarms_tested_cold",
        Scope.FIRST,
        lambda f: f.alarms_tested and f.alarms_tested_cold,
        "The alarms were tested in a room colder than they are commonly rated for; it is warm now. Press "
        'both test buttons again, then write "alarms ok".',
        "Rated from 4 °C (40 °F) as a rule; the alarm's leaflet decides (as reported)",
    ),
    Rule(
        "smoke_expired",
        Scope.FIRST,
        lambda f: f.smoke_expired,
        "The smoke alarm is past the replace-by date printed on it. Replace it before relying on it.",
        "Ten years from manufacture: NFPA as quoted by a fire department (as reported)",
    ),
    Rule(
        "co_expired",
        Scope.FIRST,
        lambda f: f.co_expired,
        "The CO alarm is past the replace-by date printed on it. Replace it before relying on it.",
        "7 to 10 years by model, printed on the alarm (as reported)",
    ),
    Rule(
        "nest_in_cap",
        Scope.ANSWER,
        lambda f: f.nest_seen is not None,
        "A nest was seen in the flue cap {nest_day} and is not said to be gone: no fire. A blocked flue "
        "sends carbon monoxide into the room. Have it cleared, and the flue looked through, by somebody "
        "equipped for the roof, then write: nest gone",
        "Common practice, no source: a blocked flue spills carbon monoxide; the sweep clears it",
    ),
    Rule(
        "air_stands_low",
        Scope.ANSWER,
        _stands_low,
        "The air stands at {air_stands}, less than the least clean air: open it to {floor} or more now, "
        "before any wood. What smoulders soots the flue and gives carbon monoxide.",
        "US EPA 456/F-10-003 (Burn Wise): smouldering means more air is needed",
    ),
    Rule(
        "damper_stands",
        Scope.ANSWER,
        _damper_stands,
        "The flue damper stands at {damper_stands} by the log: closed down on wood or coals it can spill "
        "carbon monoxide into the room. Open it, and leave it open while anything glows.",
        "Common practice, no source: a damper closed on coals can spill CO",
    ),
    Rule(
        "fresh_load",
        Scope.ANSWER,
        lambda f: f.fresh_load_at is not None,
        "Wood went in at {loaded_at}: turn its air down only when it burns well, about {minutes} min after "
        "that. Set a kitchen timer.",
        "US EPA 456/F-10-003 (Burn Wise): full air until it burns strongly",
    ),
    Rule(
        "floor_assumed",
        Scope.ANSWER,
        lambda f: f.floor_assumed,
        "The least clean air is assumed to be {floor}. Look it up in your stove's manual and put it "
        "into the description.",
        "The manual decides; the figure is ASSUMED until the owner gives it",
    ),
    Rule(
        "coals_give_co",
        Scope.ANSWER,
        lambda f: f.burns,
        "Coals give carbon monoxide without smoke: leave air and flue open until the stove is cold.",
        "Charcoal fire releases CO and must vent: article of the trade (as reported)",
    ),
    Rule(
        "manual_first",
        Scope.ANSWER,
        lambda f: True,
        "Your stove's manual, local codes and a licensed sweep come before anything said here.",
        "Standing rule of this program",
    ),
    Rule(
        "damp_wood",
        Scope.ANSWER,
        lambda f: f.moisture_wet_pct > DAMP_WET_PCT and f.burns,
        "The wood is described as damp: it warms less, and soots the flue when it smoulders.",
        "US EPA Burn Wise: at most 20 % (as reported)",
    ),
    Rule(
        "over_limit",
        Scope.CHOICE,
        lambda f: f.biggest_load_kg > f.max_load_kg + 1e-6,
        "{load} is over your stove's limit of {limit}.",
        "The stove's manual, as given by the owner",
    ),
    Rule(
        "overfilled",
        Scope.CHOICE,
        lambda f: f.overfilled_kg > 0.02 * f.max_load_kg,
        "It does not fit beside what is left in the firebox: reckoned with {over} less.",
        "The stove's manual limits the full firebox",
    ),
    Rule(
        "beyond_tried",
        Scope.CHOICE,
        lambda f: f.tried_cap_kg is not None and f.biggest_load_kg > f.tried_cap_kg + 1e-6,
        "{load} is far more than this stove has burned so far (up to {tried} would be within reach).",
        "Common practice, no source: never much beyond the largest load tried",
    ),
    Rule(
        "below_floor",
        Scope.CHOICE,
        _below_floor,
        "Air {air} is less than the least clean air, {floor}: that smoulders, soots the flue and gives "
        "carbon monoxide. Not lower than {floor} while wood or coals glow.",
        "US EPA 456/F-10-003 (Burn Wise): smouldering means more air is needed",
    ),
    Rule(
        "damper_on_coals",
        Scope.CHOICE,
        lambda f: f.least_damper_pct is not None,
        "The flue damper is closed down, to {damper}, while wood or coals glow: carbon monoxide can spill "
        "into the room. Leave it open.",
        "Common practice, no source: a damper closed on coals can spill CO",
    ),
    Rule(
        "too_hot",
        Scope.CHOICE,
        lambda f: f.chance_too_hot >= TOO_HOT_CHANCE,
        "It may pass {hot} while people sleep.",
        "Ceiling of 27 to 28 °C for bedrooms: a review (as reported)",
    ),
    Rule(
        "cold_start",
        Scope.CHOICE,
        lambda f: f.cold_start,
        "The stove is cold: kindling first, air wide open for about {minutes} min, and stay awake until it "
        "burns well.",
        "US EPA 456/F-10-003 (Burn Wise): full air until it burns strongly",
    ),
    Rule(
        "turn_down",
        Scope.CHOICE,
        lambda f: not (f.no_load or f.cold_start or f.own_turn_down),
        "Set a kitchen timer for {minutes} min: the air stays wide open until you turn it down.",
        "Common practice, no source: forgetting to turn the air down is the usual slip",
    ),
    Rule(
        "in_the_night",
        Scope.CHOICE,
        lambda f: f.load_in_the_night,
        "It means getting up in the night, and staying up until the new wood burns well.",
        "Standing rule of this program",
    ),
    Rule(
        "freezing",
        Scope.CHOICE,
        _freezing,
        "Water is in the pipes and freezing is possible: pipes freeze sooner than the room. Drain them or "
        "keep them warm.",
        "Alert at 20 °F (−7 °C) outside for uninsulated pipes: Univ. of Illinois (as reported)",
    ),
)


def applying(facts: Facts, *, scopes: frozenset[Scope]) -> tuple[Rule, ...]:
    """The rules of these scopes that apply, in the order they are to be said."""
    return tuple(rule for rule in RULES if rule.scope in scopes and rule.applies(facts))
