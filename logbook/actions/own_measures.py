"""The owner's own measures of wood: kept with their spread, and past loads changed with them when wanted."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from logbook.actions.measures_kept import OWN_WORDS, Measure, own_measures
from logbook.entry import LineAct, Recount, Understood, counted_as, day_said, masses_said, own_word_in
from logbook.records import Entry, Event, Flag, NewEvent, OwnUnits
from logbook.setting import CountedIn, Setting
from logbook.units import lb_from_kg
from logbook.wording import mass_text, number_text

if TYPE_CHECKING:
    from logbook.store.log import Log

Z_90 = 1.645
"""Half of a 90 % range, in standard deviations: normal distribution, from memory."""


def with_counted(log: Log, setting: Setting, text: str) -> Setting:
    """The setting with what was counted in the measure a line gives a weight; unchanged for other lines."""
    word = own_word_in(text, setting=setting) if "=" in text else None
    if word is None:
        return setting
    weights = [kg for name, kg in setting.weights_kg if name == word]
    if word in (kept := own_measures(log)):
        weights += kept[word].former_kg
    for version in log.descriptions():
        weights += [kg for name, kg in version.description.wood.pieces_kg if name == word]
    events = log.counted_in(word)
    return replace(setting, counted=CountedIn(word=word, events=events, weights_kg=tuple(set(weights))))


def keep_measure(log: Log, heard: Understood) -> tuple[str, tuple[str, ...]]:
    """Keep a measure, and change past loads with it where that was answered; one act to take back.

    Returns:
        What became of it in one sentence, and the changed events.
    """
    act, setting = heard.act, heard.setting
    assert act is not None and act.kg is not None, "a measure has its weight"
    kept = own_measures(log)
    # Whatever it had at last, a piece of the description too: past loads are told by it.
    before = dict(setting.weights_kg).get(act.name)
    former = dict.fromkeys((*(kept[act.name].former_kg if act.name in kept else ()), before))
    measure = Measure(
        kg=act.kg,
        sd_kg=act.sd_kg,
        as_said=act.pieces or "",
        former_kg=tuple(kg for kg in former if kg is not None and kg != act.kg),
    )
    words = json.dumps(
        {word: _as_kept(m) for word, m in (kept | {act.name: measure}).items()},
        ensure_ascii=False,
        sort_keys=True,
    )
    loads = dict(act.recount.loads) if act.recount else {}
    changed = [
        (event.uuid, _changed(event, event.entry, loads[event.uuid], setting))
        for event in (setting.counted.events if setting.counted else ())
        if event.entry is not None and event.uuid in loads
    ]
    events = log.correct(changed, learned=((OWN_WORDS, words),))
    said = f"{measure_text(act, setting.units)}{_holds_from(act.recount, heard)}"
    stacks = _stacks(log, act.name, setting) if before not in (None, act.kg) else ()
    if stacks:
        said += f". Put up by the {act.name} and left as written: {', '.join(stacks)}"
    return f"{said}.", tuple(e.uuid for e in events)


def measure_act_text(heard: Understood) -> str:
    """What a line that gives a measure its weight will do, before it does it."""
    act = heard.act
    assert act is not None, "asked of acts only"
    return f"{measure_text(act, heard.setting.units)}{_holds_from(act.recount, heard)}"


def measure_text(act: LineAct, units: OwnUnits) -> str:
    """A measure with its spread: "1 box = 22 splits = 19.8 kg, 9 in 10 between 17 and 22 kg"."""
    kg = act.kg or 0.0
    counted = f"{act.pieces} = " if act.pieces else ""
    said = f"1 {act.name} = {counted}{mass_text(kg, units=units)}"
    if not act.sd_kg:
        return said
    low, high = (_in_own(kg + sign * Z_90 * act.sd_kg, units) for sign in (-1.0, 1.0))
    wide = high - low
    decimals = 0 if wide >= 2.0 else 1 if wide >= 0.1 else 2
    return (
        f"{said}, 9 in 10 between {number_text(low, decimals)} and {number_text(high, decimals)} {units.mass}"
    )


def turned_text(before: Mapping[str, Measure], after: Mapping[str, Measure], units: OwnUnits) -> str:
    """What an undo or redo did to measures, "" when nothing: "1 box is 16.0 kg again, not 19.8 kg"."""
    said = []
    for word in sorted(before.keys() | after.keys()):
        was, now = before.get(word), after.get(word)
        if was == now:
            continue
        if now is None:
            said.append(f"{word} has no weight of its own again")
        elif was is None or was.kg == now.kg:
            said.append(f"1 {word} is {mass_text(now.kg, units=units)} again")
        else:
            now_kg, was_kg = (mass_text(m.kg, units=units) for m in (now, was))
            said.append(f"1 {word} is {now_kg} again, not {was_kg}")
    return ", ".join(said)


def _as_kept(measure: Measure) -> dict[str, object]:
    kept: dict[str, object] = {"kg": measure.kg}
    if measure.sd_kg is not None:
        kept["sd_kg"] = round(measure.sd_kg, 4)
    if measure.as_said:
        kept["as_said"] = measure.as_said
    if measure.former_kg:
        kept["former_kg"] = list(measure.former_kg)
    return kept


def _changed(event: Event, entry: Entry, load_kg: float, setting: Setting) -> NewEvent:
    """The same entry as written, with another load."""
    limit = setting.max_load_kg
    flags = entry.flags
    if limit is not None:
        over = frozenset({Flag.OVER_LIMIT})
        flags = flags | over if load_kg > limit + 1e-9 else flags - over
    return NewEvent(
        entry=replace(entry, load_kg=load_kg, flags=flags),
        at_typed=event.at_typed,
        zone=event.zone,
        how=event.how,
        typed=event.typed,
        line=event.line,
    )


def _holds_from(recount: Recount | None, heard: Understood) -> str:
    if recount is None:
        return ", from now on"
    day = day_said(recount.since, now=heard.now, zone=heard.setting.zone)
    were, become = masses_said((recount.were_kg, recount.become_kg), unit=heard.setting.units.mass)
    return f". {counted_as(recount.count, recount.word)} since {day}: {become}, were {were}"


def _in_own(kg: float, units: OwnUnits) -> float:
    return lb_from_kg(kg) if units.mass == "lb" else kg


def _stacks(log: Log, word: str, setting: Setting) -> tuple[str, ...]:
    """The stacks whose amount was given in a measure, as said: "birch, 2 boxes"."""

    def found() -> Iterator[str]:
        from logbook.matters import Stack, StackCount  # noqa: PLC0415 - most logs' lines need none

        for entry in log.matters():
            matter = entry.matter
            if not isinstance(matter, Stack | StackCount) or matter.mass_kg is None:
                continue
            words = (own_word_in(f"{said} = 1 kg", setting=setting) for said in matter.as_said.split())
            if word in words:
                yield f"{matter.name} ({matter.as_said})" if matter.name else matter.as_said

    return tuple(dict.fromkeys(found()))
