"""Tonight: the choices, what each comes to, and what they rest on."""

from __future__ import annotations

from datetime import timedelta

from logbook.records import Window
from logbook.results.app import Ahead, Evening
from logbook.results.night import Choice, PlannedLoad, Range
from logbook.ui.cells import Act, Role, Row, Span, margin_row, paragraph, spread, wrapped
from logbook.ui.pages.care import UNTRIED, short_care
from logbook.ui.pages.night import night_rows, said_rows
from logbook.ui.phrases import air, clock, open_part, temperature, temperature_range
from logbook.ui.view import View
from logbook.wording.amounts import chance_text, mass_text, pieces_text

WAITING = "Reckoning tonight's choices, a few seconds the first time. You can write now."
BACK = "Tab or Esc: back to the chart."
PEAK_COLUMNS = 18
"""Columns for the peak of a choice on a wide one."""
WOOD_COLUMNS, WOOD_NARROW = 20, 18
"""Columns for the wood of a choice on a small window, and under 80 columns."""


def rows(view: View, *, plain: bool = False) -> list[Row]:
    """The page's rows under the head."""
    evening = view.evening
    if evening is None:
        return paragraph("advice", view.waiting("tonight", WAITING), words=view.words, role=Role.FAINT)
    top = spread(_top(view, evening), count=12 if view.large else 6)
    return [*top, *_chart(view, evening, plain=plain)]


def chosen_index(view: View, evening: Evening) -> int:
    """Which choice is looked at; the first when none was chosen."""
    return min(max(0, view.chosen or 0), max(0, len(evening.answer.choices) - 1))


def _top(view: View, evening: Evening) -> list[Row]:
    """Advice, choices, reasons. Long sentences take rows from the reasons, never from the chart."""
    advice = _advice(view, evening)
    table = _wide_table(view, evening) if view.wide and view.large else _small_table(view, evening)
    left = (12 if view.large else 6) - len(advice) - len(table)
    return [*advice, *table, *_grounds(view, evening, most=left)]


def _advice(view: View, evening: Evening) -> list[Row]:
    answer = evening.answer
    stale = "tonight" in view.stale
    fits = view.large and len(wrapped(answer.advice, width=view.words)) == 1
    said = answer.advice if fits or not evening.short else evening.short
    if view.trouble("tonight") and not stale:
        said, stale = view.trouble("tonight"), True
    if view.tried is not None:
        said, stale = "As typed, in place of the first row: see the chart.", False
    return said_rows(view, word="advice", sentence=said, as_of=answer.as_of, stale=stale, most=2)


def _visible(view: View, evening: Evening) -> list[int]:
    """Which choices are listed: as many as fit, the chosen one and "no fire" always among them."""
    most = 5 if view.large else 3
    choices = evening.answer.choices
    picked = list(range(min(most, len(choices))))
    last = next((n for n, choice in enumerate(choices) if not choice.loads), None)
    chosen = chosen_index(view, evening)
    for must in (last, chosen):
        if must is not None and must not in picked:
            # Give up the last one listed that must not stay.
            gone = next(n for n in reversed(picked) if n not in (last, chosen))
            picked.remove(gone)
            picked.append(must)
    return sorted(picked)


def wood_said(view: View, choice: Choice, *, columns: int) -> str:
    """The wood of a choice: pieces and when; shortened when the column is narrow."""
    if not choice.loads:
        if choice.window is Window.SHUT:
            return "no fire after this" if view.past.loads else "no fire"
        return "no more, window" if view.past.loads else "no fire, window"
    window = "" if choice.window is Window.SHUT else ", window"
    full = ", ".join(f"{pieces_text(load.pieces)} {_when(view, load)}" for load in choice.loads) + window
    tight = ", ".join(f"{load.pieces.replace(' ', '')} {_when(view, load)}" for load in choice.loads) + window
    first, *later = choice.loads
    short = ", ".join(
        [first.pieces.replace(" ", ""), *(f"{x.pieces.replace(' ', '')} {_when(view, x)}" for x in later)]
    )
    return next((said for said in (full, tight, short + window) if len(said) <= columns), short + window)


def _when(view: View, load: PlannedLoad) -> str:
    return clock(load.at, zone=view.zone)


def _small_table(view: View, evening: Evening) -> list[Row]:
    chosen = chosen_index(view, evening)
    out: list[Row] = []
    visible = _visible(view, evening)
    woods = [wood_said(view, evening.answer.choices[n], columns=WOOD_NARROW) for n in visible]
    narrow = max(WOOD_NARROW, *map(len, woods))
    for place, index in enumerate(visible):
        choice = evening.answer.choices[index]
        word = "choice" if place == 0 else "or"
        act = Act("choose", str(index))
        if view.narrow:
            said = _narrow_choice(view, choice, columns=narrow)
        else:
            wood = wood_said(view, choice, columns=WOOD_COLUMNS).ljust(WOOD_COLUMNS)
            said = f"{wood} {air(choice.air_open_pct):<21} {_outcome(view, choice)}"
        role = Role.INK if index == chosen else Role.FAINT
        out.append(margin_row(word, Span(said, role), chosen=index == chosen, act=act))
    return out


def _outcome(view: View, choice: Choice) -> str:
    units = view.units
    wake = temperature_range(choice.indoor_at_wake_c, units=units)
    peak = temperature_range(choice.indoor_max_c, units=units)
    said = f"wake {wake:>8} peak {peak}"
    if len(said) > view.words - 43:
        bare = wake.removesuffix(f" °{units.temperature}")
        said = f"wake {bare}, peak to {temperature(choice.indoor_max_c.p95, units=units)}"
    return said


def _narrow_choice(view: View, choice: Choice, *, columns: int) -> str:
    units = view.units
    wood = wood_said(view, choice, columns=WOOD_NARROW)
    wake = temperature_range(choice.indoor_at_wake_c, units=units)
    return f"{wood:<{columns}} air {open_part(choice.air_open_pct):<4} wake {wake}"


def _wide_table(view: View, evening: Evening) -> list[Row]:
    chosen = chosen_index(view, evening)
    units = view.units
    low, high = evening.answer.band_c
    band = temperature_range(Range(low, low, high), units=units)
    wake_at = clock(evening.answer.wake, zone=view.zone)
    titles = ("wood", "air", f"at waking {wake_at}", "peak", f"{band} all night", "burned")
    out = [margin_row("", Span(_columns(titles), Role.FAINT))]
    for place, index in enumerate(_visible(view, evening)):
        choice = evening.answer.choices[index]
        wake = temperature_range(choice.indoor_at_wake_c, units=units)
        likely = temperature(choice.indoor_at_wake_c.p50, units=units)
        cells = (
            wood_said(view, choice, columns=21),
            air(choice.air_open_pct),
            f"{wake.removesuffix(f' °{units.temperature}')}, likely {likely}",
            _peak(view, evening, choice),
            chance_text(choice.chance_in_band, nights=False),
            burned_said(view, choice),
        )
        role = Role.INK if index == chosen else Role.FAINT
        word = "choice" if place == 0 else "or"
        act = Act("choose", str(index))
        out.append(margin_row(word, Span(_columns(cells), role), chosen=index == chosen, act=act))
    return out


def burned_said(view: View, choice: Choice) -> str:
    """The wood a choice burns; nothing at all has no decimals, as nothing was weighed."""
    return mass_text(choice.wood_kg, units=view.units) if choice.wood_kg else f"0 {view.units.mass}"


def _peak(view: View, evening: Evening, choice: Choice) -> str:
    """The range of the peak, and when it is if that fits its column."""
    said = temperature_range(choice.indoor_max_c, units=view.units)
    full = said + _peak_at(view, evening, choice)
    return full if len(full) <= PEAK_COLUMNS else said


def _peak_at(view: View, evening: Evening, choice: Choice) -> str:
    """When the likely line is highest, from an hour after bed to waking: " at 00:30"."""
    span = [
        (value, at)
        for at, value in zip(choice.hours, choice.indoor_p50_c, strict=True)
        if evening.answer.bed + timedelta(hours=1) <= at <= evening.answer.wake
    ]
    return f" at {clock(max(span)[1], zone=view.zone)}" if span else ""


def _columns(cells: tuple[str, ...]) -> str:
    widths = (21, 22, 21, 18, 18, 6)
    return " ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True))


def _grounds(view: View, evening: Evening, *, most: int) -> list[Row]:
    """What the chosen row rests on, UNTRIED, and its cautions; as many rows as there are.

    A caution is never left out for a reason: cautions have their row before reasons get a second one.
    """
    choice = _looked_at(view, evening)
    reasons = " ".join(choice.reasons)
    said = (*choice.cautions, *evening.answer.cautions)
    if choice.untried and "UNTRIED" not in reasons + " ".join(said):
        said = (UNTRIED, *said)
    cautions = " ".join(said)
    assumed = " ".join(evening.answer.assumed)
    parts = [
        ("rests", reasons.removeprefix("rests ").removeprefix("Rests "), Role.INK),
        ("care", cautions, Role.ASKS),
        ("assumed", assumed, Role.FAINT),
    ]
    parts = [part for part in parts if part[1]]
    rooms = _shared([len(wrapped(text, width=view.words)) for _, text, _ in parts], most=most)
    out: list[Row] = []
    for (word, text, role), room in zip(parts, rooms, strict=True):
        if word == "care" and room == 1 and len(wrapped(text, width=view.words)) > 1:
            text = short_care(said, columns=view.words)  # noqa: PLW2901 - the same in fewer words
        out += _grounds_rows(view, word, text, role, room)
    return out


def _grounds_rows(view: View, word: str, text: str, role: Role, room: int) -> list[Row]:
    """One part in its rows; what does not fit is told on Tab."""
    lines = wrapped(text, width=view.words)
    if not room:
        return []
    if len(lines) > room:
        more = " … Tab: all of it"
        rest = " ".join(lines[room - 1 :])
        lines = [*lines[: room - 1], wrapped(rest, width=view.words - len(more))[0] + more]
    return [
        margin_row(word if n == 0 else "", Span(line, role), role=Role.FAINT) for n, line in enumerate(lines)
    ]


def grounds(view: View) -> list[Row]:
    """In place of the chart: everything the chosen row rests on, whole; ↑ ↓ move what has no room."""
    if view.evening is None:
        return rows(view)
    found, room = _all_grounds(view, view.evening), view.height - 7
    start = min(max(0, view.scrolled), max(0, len(found) - room))
    shown = found[start : start + room]
    left = len(found) - start - len(shown)
    if left:
        shown[-1] = margin_row("", Span(f"↓ {left + 1} more rows", Role.FAINT))
    return shown


def scroll_rows(view: View) -> int:
    """How many rows the whole reasons can be moved by, and one: the first counts."""
    return max(0, len(_all_grounds(view, view.evening)) - (view.height - 7)) + 1 if view.evening else 0


def _all_grounds(view: View, evening: Evening) -> list[Row]:
    choice = _looked_at(view, evening)
    wood = wood_said(view, choice, columns=view.words)
    out = paragraph("choice", f"{wood}, air {air(choice.air_open_pct)}", words=view.words)
    parts = [("rests", reason.removeprefix("rests ").removeprefix("Rests ")) for reason in choice.reasons]
    parts += [("care", caution) for caution in (*choice.cautions, *evening.answer.cautions)]
    parts += [("assumed", said) for said in evening.answer.assumed]
    before = ""
    for word, text in parts:
        out += paragraph(word if word != before else "", text, words=view.words)
        before = word
    return [*out, *paragraph("", BACK, words=view.words, role=Role.FAINT, most=1)]


def _shared(wanted: list[int], *, most: int) -> list[int]:
    """Rows for each part: one each as far as they go, what is left to the first that wants more."""
    got = [0] * len(wanted)
    order = sorted(range(len(wanted)), key=lambda n: (n != 1, n))  # cautions first
    left = max(0, most)
    while left and any(g < w for g, w in zip(got, wanted, strict=True)):
        for n in order:
            if left and got[n] < wanted[n]:
                got[n] += 1
                left -= 1
    return got


def _looked_at(view: View, evening: Evening) -> Choice:
    if view.tried is not None:
        return view.tried.choice
    return evening.answer.choices[chosen_index(view, evening)]


def _chart(view: View, evening: Evening, *, plain: bool) -> list[Row]:
    answer = evening.answer
    index = chosen_index(view, evening)
    ahead = evening.ahead[index] if index < len(evening.ahead) else Ahead()
    if view.tried is not None:
        ahead = view.tried.ahead
    return night_rows(
        view,
        choice=_looked_at(view, evening),
        ahead=ahead,
        band_c=answer.band_c,
        bed=answer.bed,
        wake=answer.wake,
        choices=[*answer.choices, _looked_at(view, evening)],
        plain=plain,
    )
