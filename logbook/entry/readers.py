"""Fixed phrases: notes, times, labelled numbers, percentages, and words that mean one thing each."""

from __future__ import annotations

import re

from logbook.entry.facts import (
    MASS_UNITS,
    MEASURES,
    Fact,
    Match,
    Soft,
    Tokens,
    found_number,
    lasts,
    parted,
    percent_at,
    piece_name,
    temperature_at,
)
from logbook.entry.phrases import PARTS, time_phrase
from logbook.entry.tokens import NUMBER, word_at
from logbook.entry.understood import Problem, RefusedError
from logbook.entry.wood import LAYING
from logbook.entry.words import LABELS, PLACES
from logbook.records import Coals, Mark, Wind, Window
from logbook.setting import Setting

_WATTS = re.compile(rf"({NUMBER})(k?w|watts?)", re.ASCII)

LEAST_BARE_WATTS = 20.0
"""A smaller number after "heater" without its unit is the setting of its dial, or kW. ASSUMED: none is so
weak."""

MARKS = {"arrived": Mark.ARRIVED, "bed": Mark.BED, "woke": Mark.WOKE, "left": Mark.LEFT}


def read_note(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "note" and all that follows it."""
    if word_at(tokens, at) == "note" and at + 1 < len(tokens):
        return Match(first=at, last=len(tokens), facts=(Fact(name="note", value=None),))
    return None


_ENDINGS = frozenset({"to", "until", "till", "by", "before", "for"})
"""Words that make the time after them the end of something: "window cracked to 15:35" happened before."""


def read_time(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Any phrase of time, complete or not."""
    if word_at(tokens, at - 1) in _ENDINGS and not tokens[at].parted:
        return None
    names = {name.lower() for name, _ in setting.weights_kg}
    units = frozenset(MASS_UNITS) | MEASURES | names | {"c", "f", "°c", "°f", "°", "%", "w"}
    found = time_phrase(tokens, at, not_units=units)
    if found is None:
        return None
    return Match(first=at, last=at + found[1], facts=(Fact(name="time", value=found[0]),))


def read_since(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "since 22:30" after a low or high: when the thermometer was last reset."""
    if word_at(tokens, at) not in {"since", "reset"}:
        return None
    found = time_phrase(tokens, at + 1, not_units=frozenset())
    if found is None or not found[0].is_complete:
        return None
    return Match(first=at, last=at + 1 + found[1], facts=(Fact(name="since", value=found[0]),))


_ABOUT = frozenset({"about", "around", "roughly", "nearly", "almost", "ca", "approx", "only", "still"})
_FILLERS = (
    frozenset({"is", "was", "now", "temp", "temperature", "at", "reads"}) | _ABOUT,
    frozenset({"low", "of", "is"}) | _ABOUT,
)
"""Words between a label and its number that add nothing: for readings, and for a forecast. "in about 18" was
the temperature of a place called about."""

_MOST_FILLERS = 3


def read_label(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "in 17.5", "outside -9", "low 9", "in loft 19", "loft 19", "rh 55%"."""
    word = word_at(tokens, at)
    label = None if word == "in" and word_at(tokens, at - 1) in LAYING else LABELS.get(word)
    place, reach = "", 1
    if label is None and word in PLACES | {name.lower() for name in setting.places}:
        label, place = "indoor_c", word
    laid_in = word == "in" and at > 0 and word_at(tokens, at + 1) == "at" and not tokens[at].parted
    if label is None or laid_in:  # "3M in at 8" was 8 °C inside
        return None
    inside = bool(place) and word_at(tokens, at + 1) in {"in", "inside"}  # "loft in 21" is the loft's
    if inside:
        reach = 2
    while word_at(tokens, at + reach) in _FILLERS[label == "forecast_low_c"] and reach <= _MOST_FILLERS:
        reach += 1
    found = temperature_at(tokens, at + reach)
    if found is None and word in {"in", "inside"}:
        place_at = at + 2 if word_at(tokens, at + 1) == "the" else at + 1
        place = word_at(tokens, place_at)
        found, reach = temperature_at(tokens, place_at + 1), place_at + 1 - at
        if not place.isalpha() or place in LABELS or place in PARTS or reach > 3:
            return None
    if found is None:
        return None
    value, unit, taken = found
    after = word_at(tokens, at + reach + taken)
    if taken == 1 and not unit and (after in MASS_UNITS or piece_name(after, setting)):
        return None
    if not unit and lasts(tokens, at + reach + taken):
        return None
    fact = Fact(name=label, value=value, unit=unit, extra=place)
    soft = Soft.AFTER_UNREAD if word == place else Soft.AMID_UNREAD
    return Match(first=at, last=at + reach + taken, facts=(fact,), soft=soft)


_PERCENTS = {"rh": "rh_pct", "humidity": "rh_pct", "moisture": "moisture_pct"}
_BASES = frozenset({"wet", "dry"})


def read_percent_label(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Reads "rh 55%", "moisture 18% wet", "18% wet"."""
    name, found, end = _PERCENTS.get(word_at(tokens, at)), percent_at(tokens, at + 1), at + 1
    if name is None:
        found = percent_at(tokens, at, sign_needed=True)
        after = word_at(tokens, at + found[1]) if found else ""
        name = _PERCENTS.get(after)
        if after in _BASES:  # "birch 18% wet": only wood is said to be so
            name, end = "moisture_pct", at
    if name is None or found is None:
        return None
    end += found[1]
    facts = [Fact(name=name, value=found[0], unit="%")]
    if name == "moisture_pct" and word_at(tokens, end) in _BASES:
        facts.append(Fact(name="moisture_basis", value=word_at(tokens, end)))
        end += 2 if word_at(tokens, end + 1) == "basis" else 1
    return Match(first=at, last=end, facts=tuple(facts))


def read_words(tokens: Tokens, at: int, setting: Setting) -> Match | None:
    """Fixed words: window, coals, fire out, wind, marks, alarms, heater, kindling, same."""
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    skip = 1 if after in {"is", "the"} else 0
    pair = _PAIRS_OF_WORDS.get((word, word_at(tokens, at + 1 + skip)))
    if pair is not None:
        return Match(first=at, last=at + 2 + skip, facts=(pair,))
    if word == "cracked":
        return Match(
            first=at, last=at + 1, facts=(Fact(name="window", value=Window.CRACKED),), soft=Soft.AFTER_UNREAD
        )
    if word == "woke" and after == "up" and not tokens[at + 1].parted:
        return Match(first=at, last=at + 2, facts=(Fact(name="mark", value=Mark.WOKE),))
    if word in MARKS:
        followed = word == "left" and not parted(tokens, at + 1) and after in {"window", "air", "damper"}
        if followed:
            return None
        fact = Fact(name="mark", value=MARKS[word])
        return Match(
            first=at,
            last=at + 1,
            facts=(fact,),
            soft=Soft.AFTER_UNREAD if word in {"bed", "left"} else Soft.NEVER,
        )
    by_j = word == "j" and word_at(tokens, at + 1) in LAYING | {"added", "loaded"}  # one of the people
    if word in {"kindling", "same", "j"} and not by_j:
        name = "kindling" if word == "kindling" else "same"
        return Match(
            first=at,
            last=at + 1,
            facts=(Fact(name=name, value=True),),
            soft=Soft.BESIDE_UNREAD if name == "same" else Soft.NEVER,
        )
    if word == "heater":
        return _heater(tokens, at)
    return None


def _pairs_of_words() -> dict[tuple[str, str], Fact]:
    pairs: dict[tuple[str, str], Fact] = {
        ("fire", "out"): Fact(name="fire_out", value=True),
        ("no", "coals"): Fact(name="coals", value=Coals.NONE),
    }
    ways = {"shut": Window.SHUT, "closed": Window.SHUT, "cracked": Window.CRACKED, "ajar": Window.CRACKED}
    ways |= {"open": Window.OPEN, "wide": Window.OPEN}
    for said, window in ways.items():
        for name in ("window", "windows"):
            pairs[name, said] = pairs[said, name] = Fact(name="window", value=window)
    for coals in Coals:
        pairs["coals", coals.value] = pairs[coals.value, "coals"] = Fact(name="coals", value=coals)
    for wind in Wind:
        pairs["wind", wind.value] = pairs[wind.value, "wind"] = Fact(name="wind", value=wind)
    for said in ("ok", "tested"):  # "alarm tested" may be one of the two
        pairs["alarms", said] = Fact(name="alarms_tested", value=True)
    return pairs


_PAIRS_OF_WORDS = _pairs_of_words()


def _heater(tokens: Tokens, at: int) -> Match | None:
    on = word_at(tokens, at + 1) == "on"
    said = at + 1 + on
    word, after = word_at(tokens, said), word_at(tokens, said + 1)
    if word == "off" and not on:
        return Match(first=at, last=at + 2, facts=(Fact(name="other_heat_w", value=0.0, unit="W"),))

    match, taken = _WATTS.fullmatch(word), 1
    number = found_number(word) if match is None else None
    if number is not None:
        match, taken = _WATTS.fullmatch(word + after), 2
        # "heater on 2 h" was kept as 2 W.
        if match is None and not 0.0 < number < LEAST_BARE_WATTS and not lasts(tokens, said + 1):
            match, taken = _WATTS.fullmatch(word + "w"), 1
    if match is None and on:
        raise RefusedError(
            Problem(
                wrong="How strong is the heater?",
                instead="Type heater 1500 W or heater off.",
                start=tokens[at].start,
                end=tokens[at + 1].end,
            )
        )
    if match is None:
        return None
    kilo = match.group(2) == "kw"
    fact = Fact(
        name="other_heat_w",
        value=float(match.group(1)) * (1000.0 if kilo else 1.0),
        unit="kW" if kilo else "W",
    )
    return Match(first=at, last=said + taken, facts=(fact,))
