"""The owner's own measures of wood: what one weighs, how surely, and what it makes of past loads."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from logbook.entry.asking import Asker, enter_or
from logbook.entry.clock import moment_of
from logbook.entry.facts import MEASURES, Fact, piece_name
from logbook.entry.limits import LOAD_KG, refused
from logbook.entry.phrases import MONTHS, Clock, time_phrase
from logbook.entry.settle import mass_said
from logbook.entry.tokens import number_text, plain, tokens_of
from logbook.entry.understood import ENTER, LineAct, LineActKind, Recount
from logbook.entry.wood import read_wood
from logbook.records import Event, How
from logbook.setting import Setting, local_time
from logbook.units import kg_from_lb, lb_from_kg

PIECE_SD = 0.30
"""How far one piece's mass lies from that of its size, share. ASSUMED: split by hand, thickness differs by
some 15 % either way, and mass goes with its square."""

COUNTING_SD = 0.05
"""How far a count that stands for every filling is out, share. ASSUMED: one piece in twenty more or fewer."""

SCALE_SD = 0.02
"""Error of a measure that was weighed, share. ASSUMED: a kitchen or hanging scale, read once."""

ONE_PIECE = frozenset({"split", "round", "log", "piece", "stick"})
"""Measures that are one piece each: they differ as pieces do, however well one was weighed."""

SAME_SHARE = 0.01
"""How near a load comes to count times weight when it was reckoned from it, share. ASSUMED: rounding only."""

FROM_NOW = "n"
"""The key that leaves past loads as they are."""

_OWN_WORD = re.compile(r"(?:(?:1|a|an|one)\s+)?([^\W\d_]{1,20})\s*=\s*(.+)")
_SINCE = re.compile(r"(.+?)\s+(?:from|since)\s+(.+)")
_COUNT = re.compile(r"(\d+(?:[.,]\d+)?)\s*[x×]?\s*([^\W\d_]+)")


def own_word_in(text: str, *, setting: Setting) -> str | None:
    """The measure a line gives a weight, by the name it goes by in the log; None when it gives none."""
    match = _OWN_WORD.fullmatch(_line_of(text))
    return None if match is None else _name(match.group(1), setting)


def read_measure(text: str, asker: Asker, *, now: datetime, setting: Setting) -> LineAct | None:
    """The act of "box = 22 splits", also with "from 9 jan" after it; None when the line gives no weight.

    Where loads were counted in the word, it is asked whether they change too, or told by a date in the line.

    Raises:
        RefusedError: for a weight that makes no sense, with what to type.
    """
    line = _line_of(text)
    match = _OWN_WORD.fullmatch(line)
    if match is None:
        return None
    name, amount, since = _name(match.group(1), setting), match.group(2), ""
    if found := _SINCE.fullmatch(amount):
        amount, since = found.groups()
    span = (0, len(text))
    facts = _amount_facts(match.group(1), amount, span, setting=setting)
    kg, sd_kg = _weight(name, facts, span, setting=setting)
    weighed = any(fact.name == "wood_mass" for fact in facts)
    act = LineAct(
        kind=LineActKind.OWN_WORD,
        name=name,
        kg=kg,
        sd_kg=sd_kg,
        pieces=None if weighed else _as_typed(text, amount),
    )
    start = _start(since, span, now=now, setting=setting)
    if start is now:
        return act
    recount = _recount(act, since=start, span=span, setting=setting)
    if recount is None or (start is None and not _asked(recount, asker, now=now, setting=setting)):
        return act
    return replace(act, recount=recount)


def counted_as(number: float, word: str) -> str:
    """A count of a measure in words: "1 box", "6 boxes", "4 M"."""
    one = number <= 1.0 or len(word) == 1
    ending = "" if one else "es" if word.endswith(("x", "s", "ch", "sh")) else "s"
    return f"{number_text(round(number, 2))} {word}{ending}"


def masses_said(masses_kg: tuple[float, ...], *, unit: str) -> tuple[str, ...]:
    """Masses in the owner's unit, as finely as the smallest of them: whole from 10 on, else a decimal."""
    own = [lb_from_kg(kg) if unit == "lb" else kg for kg in masses_kg]
    decimals = 0 if min(own) >= 10.0 else 1
    return tuple(f"{mass:.{decimals}f} {unit}" for mass in own)


def day_said(at: datetime, *, now: datetime, zone: str) -> str:
    """A day short, with its year unless it is this one: "9 Jan"."""
    day, today = local_time(at, zone), local_time(now, zone)
    year = "" if day.year == today.year else f" {day.year}"
    return f"{day.day} {MONTHS[day.month - 1].capitalize()}{year}"


def _line_of(text: str) -> str:
    return " ".join(plain(text).split()).rstrip(".!")


def _name(word: str, setting: Setting) -> str:
    """The name a word goes by, whatever its case or plural."""
    known = piece_name(word, setting)
    if known is not None:
        return known
    if word in MEASURES:
        return word.removesuffix("es") if word == "boxes" else word.removesuffix("s")
    return word.upper() if len(word) == 1 else word


def _as_typed(text: str, amount: str) -> str:
    """The amount in the owner's own letters: small ones are for reading only."""
    typed = " ".join(text.split())
    at = plain(typed).find(amount)
    return typed[at : at + len(amount)] if at >= 0 else amount


def _weight(name: str, facts: list[Fact], span: tuple[int, int], *, setting: Setting) -> tuple[float, float]:
    """What the amount weighs and its standard deviation, kg."""
    weights, spreads = dict(setting.weights_kg), dict(setting.own_words_sd_kg)
    pieces = ONE_PIECE.union(piece for piece, _ in setting.pieces_kg)
    kg = scatter = common = 0.0
    for fact in facts:
        assert isinstance(fact.value, float | int), "wood is counted or weighed"
        if fact.name == "unweighed":
            raise refused(
                f'"{fact.unit}" has no weight yet.', f"Type: 1 {fact.unit} = 1.5 kg, then this again.", span
            )
        if fact.unit == name:
            raise refused(
                f"One {name} can't be told in {name} itself.", f"Type it like {name} = 19 kg.", span
            )
        if fact.name == "wood_mass":
            mass = kg_from_lb(fact.value) if (fact.unit or setting.units.mass) == "lb" else fact.value
            common += (SCALE_SD * mass) ** 2
            if name in pieces:
                scatter += (PIECE_SD * mass) ** 2
        else:
            mass = fact.value * weights[fact.unit]
            own_sd = spreads.get(fact.unit)
            if own_sd is None or fact.unit in pieces:
                scatter += fact.value * (PIECE_SD * weights[fact.unit]) ** 2
                common += (COUNTING_SD * mass) ** 2
            else:  # the same measure each time: its error does not even out
                common += (fact.value * own_sd) ** 2
        kg += mass
    if not 0.01 <= kg <= 2000.0:
        raise refused(f"One {name} of {number_text(kg)} kg can't be.", f"Type it like {name} = 19 kg.", span)
    return round(kg, 6), math.sqrt(scatter + common)


def _amount_facts(word: str, amount: str, span: tuple[int, int], *, setting: Setting) -> list[Fact]:
    tokens = tokens_of(amount)
    facts: list[Fact] = []
    at = 0
    while at < len(tokens):
        found = read_wood(tokens, at, setting)
        if found is None:
            break
        facts += found.facts
        at = found.last
    if facts and at == len(tokens):
        return facts
    raise refused(
        f'What one {word} weighs can\'t be read from "{amount}".',
        f"Type it like {word} = 19 kg, or {word} = 22 M.",
        span,
    )


def _start(said: str, span: tuple[int, int], *, now: datetime, setting: Setting) -> datetime | None:
    """The moment a line says it holds from: ``now`` itself for "now", None when it says none."""
    if not said:
        return None
    if said in {"now", "now on"}:
        return now
    tokens = tokens_of(said)
    found = time_phrase(tokens, 0, not_units=frozenset()) if tokens else None
    if found is None or found[1] != len(tokens):
        raise refused(f'"{said}" is no date.', "Type it like from 9 jan, or from now.", span)
    phrase = found[0]
    if not phrase.is_complete:
        phrase = replace(phrase, clock=Clock(hour=0), part=None)
    return moment_of(phrase, now=now, not_after=now, zone=setting.zone).at


def _asked(recount: Recount, asker: Asker, *, now: datetime, setting: Setting) -> bool:
    """Whether past loads change too; while the question stands, and in scripts, they don't."""
    day = day_said(recount.since, now=now, zone=setting.zone)
    were, become = masses_said((recount.were_kg, recount.become_kg), unit=setting.units.mass)
    key = asker.ask(
        "past_loads",
        f"{counted_as(recount.count, recount.word)} since {day} were {were}, become {become}. "
        f"Enter from {day}, {FROM_NOW} from now.",
        enter_or(FROM_NOW, enter=f"from {day}", other="from now on, past loads stay as they are"),
        assumed=FROM_NOW,
    )
    return key == ENTER


def _recount(
    act: LineAct, *, since: datetime | None, span: tuple[int, int], setting: Setting
) -> Recount | None:
    """What loads counted in the word become; None when none would change."""
    kg = act.kg or 0.0
    count = were = become = 0.0
    loads: list[tuple[str, float]] = []
    times: list[datetime] = []
    for event, number, each_kg in _counted(act.name, setting=setting):
        assert event.entry is not None and event.entry.load_kg is not None, "counted ones only"
        if (since is not None and event.entry.at < since) or abs(each_kg - kg) * number < 0.001:
            continue
        load = round(event.entry.load_kg + number * (kg - each_kg), 4)
        if load > LOAD_KG[1]:
            day = day_said(event.entry.at, now=event.entry.at, zone=setting.zone)
            said = mass_said(load, setting.units.mass)
            raise refused(
                f"{counted_as(number, act.name)} on {day} would be a load of {said}.",
                f"Type what one {act.name} weighs, or another word for this measure.",
                span,
            )
        loads.append((event.uuid, load))
        times.append(event.entry.at)
        count, were, become = count + number, were + number * each_kg, become + number * kg
    if not loads:
        return None
    return Recount(
        word=act.name, count=count, since=min(times), were_kg=were, become_kg=become, loads=tuple(loads)
    )


def _counted(word: str, *, setting: Setting) -> Iterator[tuple[Event, float, float]]:
    """The loads counted in a word, how many of it, and what each was taken to weigh, kg.

    A load with a weight beside its count was weighed and is left out. Where a line doesn't tell (an import,
    "same"), it counts only if the weight is one the word has had.
    """
    counted = setting.counted
    if counted is None or counted.word != word:
        return
    weights = dict(setting.weights_kg)
    for event in counted.events:
        entry = event.entry
        if entry is None or entry.load_kg is None or _typed_load(event) in {"kg", "lb"}:
            continue
        parts = [
            (float(number.replace(",", ".")), piece_name(plain(name), setting) or name)
            for number, name in _COUNT.findall(entry.pieces or "")
        ]
        number = sum(n for n, name in parts if name == word)
        others = [(n, weights.get(name)) for n, name in parts if name != word]
        if number <= 0.0 or any(kg is None for _, kg in others):
            continue
        left = entry.load_kg - sum(n * kg for n, kg in others if kg is not None)
        each = left / number
        near = min(counted.weights_kg, key=lambda kg: abs(kg - each), default=None)
        if near is not None and abs(near - each) <= SAME_SHARE * near:
            yield event, number, each if not others else near
        elif each > 0.0 and event.how in {How.TYPED, How.PAPER} and _typed_load(event) is None:
            yield event, number, each


def _typed_load(event: Event) -> str | None:
    """The unit a line gave the load in: "kg", "lb", "same"; None where it gave the count alone."""
    return next((typed.unit for typed in event.typed if typed.name == "load_kg"), None)
