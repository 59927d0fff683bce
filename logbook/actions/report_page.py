"""Reports as pages: the answer's words, tables and charts in order, for the screen and for paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from logbook.paper.document import Block, Drawing, Heading, Page, Para, Table
from logbook.plain_chart import bars, night_chart
from logbook.results.report import SeasonReport, StayReport
from logbook.results.stays import Extreme
from logbook.results.upkeep import RecordRow
from logbook.setting import Setting, local_time
from logbook.wording import report as words
from logbook.wording import sheets
from logbook.wording.amounts import MONTHS, WEEKDAYS, temperature_value
from logbook.wording.improvements import works_cells

CHART_COLUMNS, CHART_ROWS = 76, 16
"""Fits an 80-column terminal, and a sheet at the size charts are printed."""

LONGEST_NOON_TICKS = timedelta(days=2.5)
"""Stays up to this long have a tick at noon too."""

MOST_DAY_TICKS = 9
"""Days named along the foot of a chart; of a longer stay every second or third day."""


def stay_page(report: StayReport, *, setting: Setting) -> Page:
    """A stay on paper."""
    title, below = words.stay_title(report, setting=setting)
    return Page(title=title, below=below, blocks=tuple(_stay_blocks(report, setting=setting)), many=True)


def season_page(report: SeasonReport, *, setting: Setting) -> Page:
    """A season on paper."""
    title, below = words.season_title(report)
    return Page(title=title, below=below, blocks=tuple(_season_blocks(report, setting=setting)), many=True)


def _stay_blocks(report: StayReport, *, setting: Setting) -> Iterator[Block]:
    yield from (Para(f"“{line}”") for line in report.stay.guest_book)
    yield Heading("What was burned")
    yield Para(words.burned_text(report, setting=setting))
    if report.loads:
        cells = words.load_cells(report.loads, setting=setting)
        yield Table(words.LOAD_COLUMNS, cells, widths=(12, 10, 7, 7, 13, 7, 13))
    yield Heading("The nights")
    yield Para(
        words.band_text(report.counted, band_c=report.band_c, assumed=report.band_assumed, setting=setting)
    )
    forecasts = words.forecasts_text(report.counted)
    if forecasts:
        yield Para(forecasts)
    if report.nights:
        cells = words.night_cells(report.nights, setting=setting)
        yield Table(words.NIGHT_COLUMNS, cells, widths=(10, 8, 13, 12, 8, 10, 7))
    yield Heading("Inside and outside")
    yield Para(words.extremes_text(report.extremes, setting=setting))
    chart = _stay_chart(report, setting=setting)
    if chart:
        yield Drawing(chart, words.stay_chart_text(report, setting=setting))
    yield from _upkeep(report.upkeep, setting=setting)
    written = words.written_cells(report, setting=setting)
    if written:
        yield Heading("Written down")
        yield Table(words.WRITTEN_COLUMNS, written, widths=(12, 66))


def _season_blocks(report: SeasonReport, *, setting: Setting) -> Iterator[Block]:
    yield Table(("what", "in this season"), words.season_cells(report, setting=setting), widths=(16, 62))
    yield Heading("Month by month")
    cells = words.month_cells(report, setting=setting)
    yield Table(words.MONTH_COLUMNS, cells, widths=(9, 5, 6, 11, 9, 8, 20))
    yield Heading("Wood by stay")
    drawn = bars([words.stay_bar(stay, setting=setting) for stay in report.stays], columns=CHART_COLUMNS)
    if drawn:
        yield Drawing(drawn, words.bars_text(report, setting=setting))
    yield Heading("Wakings and forecasts")
    chart = _wakings(report, setting=setting)
    said = words.wakings_text(report, setting=setting, charted=bool(chart))
    yield Drawing(chart, said) if chart else Para(said)
    forecasts = words.forecasts_text(report.counted)
    if forecasts:
        yield Para(forecasts)
    records = words.record_cells(report, setting=setting)
    if records:
        yield Heading("Records")
        yield Table(words.RECORD_COLUMNS, records, widths=(24, 18, 34))
    book = words.guest_book_rows(report, setting=setting)
    if book:
        yield Heading("Guest book")
        yield from (Para(line) for line in book)
    if report.works:
        yield Heading("Works on the cabin")
        cells = works_cells(report.works, setting=setting)
        yield Table(words.WORK_COLUMNS, cells, widths=(10, 15, 15, 18, 14))
    yield from _upkeep(report.upkeep, setting=setting)


def _upkeep(rows: tuple[RecordRow, ...], *, setting: Setting) -> Iterator[Block]:
    yield Heading("Upkeep")
    cells = sheets.record_cells(rows, units=setting.units)
    if cells:
        yield Table(sheets.RECORD_COLUMNS, cells, widths=(10, 18, 28, 9, 7))
    else:
        yield Para(words.nothing_done_text("upkeep"))
    yield Para(sheets.tests_said(rows))


def _stay_chart(report: StayReport, *, setting: Setting) -> str:
    """Inside and outside over the hours of the stay; empty with fewer than two times read inside."""
    if len({read.at for read in report.inside}) < 2:
        return ""
    start, units = report.stay.start, setting.units
    times = sorted({read.at for read in (*report.inside, *report.outside)})

    def line(read: tuple[Extreme, ...]) -> list[float]:
        at = {one.at: temperature_value(one.temperature_c, units=units) for one in read}
        return [at.get(moment, float("nan")) for moment in times]

    return night_chart(
        [(at - start) / timedelta(hours=1) for at in times],
        [("o", line(report.outside)), ("*", line(report.inside))],
        rules=[temperature_value(c, units=units) for c in report.band_c],
        ticks=_stay_ticks(report, times, setting=setting),
        size=(CHART_COLUMNS, CHART_ROWS),
    )


def _stay_ticks(
    report: StayReport, times: Sequence[datetime], *, setting: Setting
) -> list[tuple[float, str]]:
    """Days and noons below a stay's chart, at their hours; of an afternoon, which has neither, its ends."""
    start, end = report.stay.start, report.stay.end
    days = [local_time(start, setting.zone).date() + timedelta(days=n) for n in range((end - start).days + 2)]
    every = -(-len(days) // MOST_DAY_TICKS)
    ticks = []
    midnight = local_time(start, setting.zone).replace(hour=0, minute=0, second=0, microsecond=0)
    for n, day in enumerate(days):
        hour = (midnight + timedelta(days=n) - start) / timedelta(hours=1)
        if n % every == 0:
            ticks.append((hour, f"{WEEKDAYS[day.weekday()]} {day.day}"))
        if end - start <= LONGEST_NOON_TICKS:
            ticks.append((hour + 12.0, "noon"))
    last = (end - start) / timedelta(hours=1)
    inside = [(hour, name) for hour, name in ticks if 0.0 <= hour <= last]
    clocks = [
        ((at - start) / timedelta(hours=1), local_time(at, setting.zone)) for at in (times[0], times[-1])
    ]
    return inside or [(hour, f"{at:%H:%M}") for hour, at in clocks]


def _wakings(report: SeasonReport, *, setting: Setting) -> str:
    """Temperatures woken to over the season's days; empty with fewer than two."""
    woke = [(night.evening, night.woke_c) for night in report.nights if night.woke_c is not None]
    if len(woke) < 2:
        return ""
    begins = report.page.begins
    days = [float((evening - begins).days) for evening, _ in woke]
    ticks = []
    for month in report.months:
        day = month.year * 12 + month.month - begins.year * 12 - begins.month
        first = begins.replace(year=month.year, month=month.month)
        if days[0] <= (first - begins).days <= days[-1] and day >= 0:
            ticks.append((float((first - begins).days), MONTHS[month.month - 1]))
    if not ticks:  # all in one month, after its first
        ends = dict.fromkeys((woke[0][0], woke[-1][0]))
        ticks = [(float((day - begins).days), f"{day.day} {MONTHS[day.month - 1]}") for day in ends]
    return night_chart(
        days,
        [("o", [temperature_value(c, units=setting.units) for _, c in woke])],
        rules=[temperature_value(c, units=setting.units) for c in report.band_c],
        ticks=ticks,
        size=(CHART_COLUMNS, CHART_ROWS),
        joined=False,
    )
