"""Tonight's answer as rows of text: the suggestion first, then the choices with their costs, then why."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import timedelta

from logbook.actions.reckoning import Known
from logbook.actions.tonight import Answered
from logbook.plain_chart import night_chart
from logbook.results.journeys import WriteDownNext
from logbook.results.night import Choice, TonightAnswer
from logbook.setting import Setting
from logbook.wording import temperature_text, time_text
from logbook.wording.amounts import temperature_value
from logbook.wording.answers import do_text, how_text, outcome_text
from logbook.wording.coming_going import write_down_text

CHART_ROWS = 16
TICK_HOURS = 2
"""Hours between the times along the chart's foot."""


def evening_rows(got: Answered, told: Known, *, columns: int) -> Iterator[str]:
    """The whole answer, wrapped to a width: an alarm untested or expired is its first line."""
    answer, setting = got.answer, told.setting
    first = answer.choices[0]
    for caution in answer.cautions[: answer.before_advice]:
        yield from _wrapped(caution, columns, lead="! ")
    yield from _wrapped(answer.advice, columns)
    how = how_text(first)
    if how:
        yield from _wrapped(how, columns)
    for caution in answer.cautions[answer.before_advice :]:
        yield from _wrapped(caution, columns, lead="! ")
    yield ""
    for n, choice in enumerate(answer.choices):
        yield from _choice_rows(n, choice, answer, setting=setting, columns=columns)
    chart = _chart(first, answer, setting=setting, columns=columns)
    if chart:
        yield ""
        yield _chart_sentence(first, answer, setting=setting)
        yield chart
    if answer.assumed:
        yield ""
        for sentence in answer.assumed:
            yield from _wrapped(sentence, columns)


def note_rows(note: WriteDownNext | None, told: Known, *, columns: int) -> Iterator[str]:
    """What to write down next, after a blank row; nothing when nothing is asked for."""
    if note is not None:
        yield ""
        yield from _wrapped(write_down_text(note, units=told.setting.units), columns)


def _choice_rows(
    n: int, choice: Choice, answer: TonightAnswer, *, setting: Setting, columns: int
) -> Iterator[str]:
    mark = "  UNTRIED" if choice.untried else ""
    yield from _wrapped(f"{do_text(choice, setting=setting)}.{mark}", columns, lead=f"{n + 1}. ")
    yield from _wrapped(outcome_text(choice, answer, setting=setting), columns, lead="   ")
    for reason in choice.reasons:
        yield from _wrapped(reason, columns, lead="   ")
    for caution in choice.cautions:
        yield from _wrapped(caution, columns, lead="   ! ")


def _wrapped(text: str, columns: int, *, lead: str = "") -> list[str]:
    return textwrap.wrap(
        text, columns, initial_indent=lead, subsequent_indent=" " * len(lead), break_long_words=False
    )


def _chart_sentence(choice: Choice, answer: TonightAnswer, *, setting: Setting) -> str:
    unit = f"°{setting.units.temperature}"
    low, high = (temperature_text(c, units=setting.units, decimals=0) for c in answer.band_c)
    return f"Choice 1, inside, {unit}: * likely, . the range (9 in 10), level lines the band {low} to {high}."


def _chart(choice: Choice, answer: TonightAnswer, *, setting: Setting, columns: int) -> str:
    start = choice.hours[0]
    hours = [(at - start) / timedelta(hours=1) for at in choice.hours]

    def scaled(values: tuple[float, ...]) -> list[float]:
        return [temperature_value(c, units=setting.units) for c in values]

    ticks = [
        (float(h), time_text(start + timedelta(hours=h), zone=setting.zone))
        for h in range(0, int(hours[-1]) + 1, TICK_HOURS)
    ]
    return night_chart(
        hours,
        [
            (".", scaled(choice.indoor_p05_c)),
            (".", scaled(choice.indoor_p95_c)),
            ("*", scaled(choice.indoor_p50_c)),
        ],
        rules=scaled(answer.band_c),
        ticks=ticks,
        size=(columns, CHART_ROWS),
    )
