"""A desk with an invented evening and a memory of what it was told; no file, no model, no clock.

The room follows one exponential; good enough to have something to draw. Nothing here is the product's.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from fake_year import fake_list, fake_year

from logbook.actions import blanks as real_blanks
from logbook.actions import paper_copy
from logbook.actions.first_evening import first_evening
from logbook.errors import LogbookError
from logbook.records import Cabin, Description, OwnUnits, Stove, Window
from logbook.results.app import (
    Ahead,
    Between,
    Blank,
    Blanks,
    Burning,
    CabinPage,
    CoolingLine,
    Effect,
    EmergencyPage,
    Evening,
    Expect,
    Going,
    Head,
    Heard,
    Helped,
    Kept,
    LastNight,
    Line,
    NightLived,
    NightRow,
    Past,
    Pending,
    SoFar,
    Standing,
    Stretch,
    Track,
    Tried,
    WhatIf,
    Works,
)
from logbook.results.copying import Sheet, SheetRead
from logbook.results.night import Choice, NightScore, PlannedLoad, Range, TonightAnswer
from logbook.results.year import ListAct, Listed, YearPage
from logbook.setting import setting_of

ZONE = ZoneInfo("Europe/Oslo")
NOW = datetime(2026, 1, 16, 21, 40, tzinfo=ZONE)
BED = datetime(2026, 1, 16, 22, 30, tzinfo=ZONE)
WAKE = datetime(2026, 1, 17, 6, 30, tzinfo=ZONE)
BAND_C = (16.0, 22.0)


def at(text: str) -> datetime:
    """A clock time of the invented evening; before noon it is the next morning."""
    hour, minute = (int(part) for part in text.split(":"))
    day = 17 if hour < 12 else 16
    return datetime(2026, 1, day, hour, minute, tzinfo=ZONE).astimezone(UTC)


STAY = (
    ("21:30", "inside 19.5 °C, outside −9 °C", "-9/19.5"),
    ("20:55", "2 M birch (3.2 kg), air 1/2 open (1/2 closed)", "2m air 1/2"),
    ("20:00", "inside 16.5 °C, coals good", "in 16.5 coals good"),
    ("19:00", "inside 13.5 °C", "in 13.5"),
    ("17:40", "3 M birch (4.8 kg), air 1/2 open (1/2 closed); inside 9.6 °C, outside −7 °C", "-7/9.6 3m 1/2"),
    ("15:55", "3 M birch (4.8 kg), air 3/4 open (1/4 closed)", "3m 3/4"),
    (
        "15:20",
        "lit: 2 S (1.6 kg) and kindling, air all open (none closed), window cracked to 15:35",
        "2s kindling",
    ),
    ("15:15", "ash taken out: bucket outside, not before Tue 20 Jan 15:15", "ash out"),
    (
        "15:10",
        "arrived, K and J; inside −3.0 °C, outside −4 °C; last stay left: roof vent, mouse traps",
        "arrived",
    ),
)

ALARMS = Pending(
    name="alarms",
    short="Alarms not tested this stay. Press both test buttons. Both sounded: k",
    long="Alarms not tested this stay. Press the test button on both, smoke and CO. "
    "When both have sounded, press k.",
    key="k",
    done="alarms ok",
    first=True,
)
TURN_DOWN = Pending(
    name="turn-down",
    short="Air to 1/4 open (3/4 closed)? Usual at 30 min, now 45. d done, x skip",
    long="Air down to 1/4 open (3/4 closed)? You usually do it 30 min after a load, now it is 45 min.   "
    "d done   x skip",
    key="d",
    done="air 1/4",
    skippable=True,
)


def choice(
    *,
    wake: tuple[float, float, float],
    peak: tuple[float, float, float],
    loads: tuple[tuple[str, float, str, float], ...] = (),
    air: float,
    chance: float,
    untried: bool = False,
    reasons: tuple[str, ...] = (),
    cautions: tuple[str, ...] = (),
    window: Window = Window.SHUT,
) -> Choice:
    """A choice whose room goes from 20 °C up to its peak two hours on, then falls to its waking."""
    hours = tuple(NOW.astimezone(UTC) + timedelta(minutes=10 * n) for n in range(54))

    def series(top: float, end: float) -> tuple[float, ...]:
        out = []
        for n in range(len(hours)):
            h = n / 6
            if h < 2:
                out.append(20 + (top - 20) * math.sin(h / 2 * math.pi / 2))
            else:
                share = (h - 2) / 6.83
                out.append(
                    end + (top - end) * (math.exp(-1.5 * share) - math.exp(-1.5)) / (1 - math.exp(-1.5))
                )
        return tuple(out)

    return Choice(
        loads=tuple(
            PlannedLoad(
                at=at(when), kg=kg, kg_dry=kg * 0.82, pieces=pieces, air_open_pct=pct, open_minutes=12
            )
            for pieces, kg, when, pct in loads
        ),
        air_open_pct=air,
        window=window,
        indoor_min_c=Range(*wake),
        indoor_max_c=Range(*peak),
        indoor_at_wake_c=Range(*wake),
        chance_in_band=chance,
        degree_hours_outside=3.0,
        wood_kg=sum(kg for _, kg, _, _ in loads),
        hours=hours,
        indoor_p05_c=series(peak[0], wake[0]),
        indoor_p50_c=series(peak[1], wake[1]),
        indoor_p95_c=series(peak[2], wake[2]),
        untried=untried,
        reasons=reasons,
        cautions=cautions,
    )


FLOOR = (
    "Least clean air on this lever is 1/4 open (3/4 closed). While wood or coals glow, not lower, and the "
    "flue open."
)
NO_FIRE = choice(
    wake=(5.0, 8.0, 10.0), peak=(21.0, 22.0, 23.0), air=50.0, chance=0.001,
    reasons=("rests on 4 fire-out nights.",),
)  # fmt: skip
CHOICES = (
    choice(
        loads=(("1 M", 1.6, "22:30", 33.3), ("2 M", 3.2, "02:30", 33.3)),
        wake=(15.0, 18.0, 21.0), peak=(21.0, 22.5, 24.0), air=33.3, chance=0.31, untried=True,
        reasons=(
            "rests on 6 nights, nearest Sat 10 Jan: 2 M, 1/3 open (2/3 closed), woke at 14.1 °C.",
            "Wind: about 2 °C lower at waking.",
        ),
        cautions=("UNTRIED here: a second load after 01:00. It means getting up at 02:30.",),
    ),
    choice(
        loads=(("1 M 1 L", 4.4, "22:30", 25.0),),
        wake=(13.0, 17.0, 20.0), peak=(21.0, 22.5, 24.0), air=25.0, chance=0.12,
        reasons=("rests on 5 nights.",),
    ),
    choice(
        loads=(("3 M", 4.8, "22:30", 33.3),),
        wake=(13.0, 16.0, 20.0), peak=(20.0, 21.5, 23.0), air=33.3, chance=0.11, window=Window.CRACKED,
        reasons=("rests on 5 nights.",),
    ),
    choice(
        loads=(("2 M", 3.2, "22:30", 25.0),),
        wake=(11.0, 14.0, 17.0), peak=(21.0, 22.0, 23.0), air=25.0, chance=0.04,
        reasons=("rests on 6 nights.",),
    ),
    NO_FIRE,
)  # fmt: skip

OUTSIDE_AHEAD = tuple(
    (at(when), value)
    for when, value in (
        ("23:00", -10.0), ("01:00", -11.0), ("03:00", -12.0), ("05:00", -13.0), ("07:00", -13.0),
        ("09:00", -11.0),
    )
)  # fmt: skip
PAST = Past(
    inside_c=tuple(
        (at(t), v)
        for t, v in (("15:10", -3.0), ("17:40", 9.6), ("19:00", 13.5), ("20:00", 16.5), ("21:30", 19.5))
    ),
    outside_c=tuple(
        (at(t), v) for t, v in (("15:10", -4.0), ("17:00", -6.0), ("19:00", -8.0), ("21:30", -9.0))
    ),
    loads=((at("15:55"), "3M"), (at("17:40"), "3M"), (at("20:55"), "2M")),
    air_open_pct=((at("15:55"), 75.0), (at("16:50"), 50.0)),
    burning=(Burning(at("15:30"), at("21:40"), False),),
)


def night(
    day: str, wood: str, pct: float | None, said: tuple[float, float, float], woke: float | None, *notes: str
) -> NightRow:
    """One told night: evening date and what was said for 06:30."""
    evening = datetime.fromisoformat(f"{day}T22:30").replace(tzinfo=ZONE)
    inside = None if woke is None else said[0] <= woke <= said[2]
    score = NightScore(
        bed=evening,
        wake=evening + timedelta(hours=8),
        predicted_at_wake_c=Range(*said),
        observed_at_wake_c=woke,
        inside_90=inside,
        wood_kg=1.6,
        air_open_pct=pct,
        recomputed=True,
    )
    said_text = f"Said {said[0]:.0f}–{said[2]:.0f} °C for 06:30, "
    said_text += "nobody read it." if woke is None else f"woke to {woke:.1f} °C."
    return NightRow(score=score, wood=wood, notes=(said_text, *notes))


TRACK = Track(
    rows=(
        night("2026-01-10", "2 M", 33.3, (11, 14, 18), 14.1),
        night("2026-01-09", "2 M 1 L", 33.3, (12, 16, 20), 19.2),
        night("2026-01-04", "no fire", 33.3, (1.5, 4, 7), 2.1),
        night(
            "2026-01-03", "3 M", 33.3, (14, 17, 21), 12.6,
            "Coals none.", "Window found cracked at 07:10. With it cracked the range is 11–19 °C.",
        ),
        night("2026-01-02", "3 M", 50.0, (11.5, 15, 19), 17.4),
        night("2025-12-20", "2 M", 25.0, (9, 12, 15.5), 13.0),
        night("2025-12-19", "1 M 1 L", 25.0, (11.5, 15, 19), None),
        night("2025-12-06", "2 M", None, (12.2, 16, 19), 21.4),
    ),
    score=(
        "8 nights told beforehand: 5 woke inside the range (expect about 7).",
        "Usual miss 1.9 °C. Ranges were 6.9 °C wide; ten nights ago 8.4 °C.",
    ),
    band_c=BAND_C,
)  # fmt: skip

_HOURS = tuple(n / 4 for n in range(49))
CABIN = CabinPage(
    as_of=NOW,
    cools="Stove cold, −7 °C out, 18 °C at 22:30: down to 10 °C by 00:30 to 02:10.",
    line=CoolingLine(
        start=BED,
        hours=_HOURS,
        low_c=tuple(-7 + 25 * math.exp(-h / 5) for h in _HOURS),
        likely_c=tuple(-7 + 25 * math.exp(-h / 8) for h in _HOURS),
        high_c=tuple(-7 + 25 * math.exp(-h / 12) for h in _HOURS),
        outdoor_c=-7.0,
        to_c=10.0,
    ),
    known=(
        ("loses", "78–96 W per °C, likely 86."),
        ("slows", "Time constant 9–14 h, likely 11. Stove: 60–76 % of the wood's heat."),
        ("rests", "127 readings of the last 5 stays, with loads, air and weather."),
    ),
    stove="Limit 8.0 kg, most put in 6.0 kg. Least air 1/4 open (3/4 closed).",
)
GOING = Going(
    as_of=NOW,
    known=(
        ("falls", "No more wood, 20 °C inside, down to −13 °C outside: the room falls to"),
        ("", "10 °C in 4.1 h to 7.5 h, likely 5.6 h (Sat 17 Jan 01:45 to 05:10)."),
        ("", "5 °C in 8.2 h to 14 h, likely 11 h (Sat 17 Jan 05:50 to 11:40)."),
        ("", "0 °C in 14 h to 25 h, likely 19 h (Sat 17 Jan 11:40 to 22:40)."),
        ("wood", "Last in: 2 M at 20:55, air 1/2 open (1/2 closed); wood likely burns still."),
    ),
    cautions=(
        "Coals give carbon monoxide: leave air and flue open, and don't shut the damper on them.",
        "Pipes can freeze sooner than the room: drain first, then go.",
    ),
    checklist=tuple(f"line {n} of the owner's own list, in the owner's order" for n in range(1, 13)),
    assumed=("The weather ahead is guessed from the last reading and the time of year.",),
)
STRETCHES = tuple(
    Stretch(
        start=datetime.fromisoformat(when).replace(tzinfo=ZONE),
        end=datetime.fromisoformat(when).replace(tzinfo=ZONE) + timedelta(hours=hours),
        outside_c=outside, from_c=start, to_c=end, why=why,
    )
    for when, hours, outside, start, end, why in (
        ("2026-01-11T10:40", 2.6, -5.0, 17.5, 9.0, "steady"),
        ("2026-01-04T22:10", 8.5, -7.0, 18.2, 2.1, "steady"),
        ("2025-12-21T09:30", 0.8, 1.0, 19.0, 15.5, "window open"),
        ("2025-12-07T11:00", 2.1, None, 18.0, 11.8, "coals at first"),
    )
)  # fmt: skip
WORKS = Works(
    changes=(
        Helped(
            name="8 Nov 2025 skirting", loss="11 % less to 2 % more",
            verdict="can't tell yet",
            whole=("skirting (since Sat 8 Nov 2025): can't tell yet.", "To tell takes about 4 more nights."),
        ),
        Helped(
            name="13 Dec 2025 storm panes", loss="6 to 17 % less", verdict="helped",
            whole=("storm panes: helped.", "Wood saved in a usual weekend: 4.7 kg (1.6 kg to 7.6 kg)."),
            paid=("It cost 240 in money and 31 h of work.", "It pays for itself in 48 years (28 to 90)."),
        ),
        Helped(name="9 Jan 2026 curtain", loss="", verdict="can't tell yet", whole=("curtain",)),
    ),
    narrowed="48–150 by description, 60–120 after one stay, 78–96 now (W per °C).",
)  # fmt: skip
WHATS = (
    "Heat loss 86 (78–96) W/K now, 77 (69–88) W/K then.",
    "Wood for a weekend: 41.2 kg now, 37.4 kg then; saved 3.7 kg (2.0 kg to 6.0 kg).",
)

SHORT = "If nothing more goes in: peak 21–23 °C near 23:30, 5–10 °C at 06:30."
LONG = (
    "If nothing more goes in: peak 21–23 °C near 23:30, below 16 °C from 02:30, "
    "5–10 °C (likely 8 °C) at 06:30."
)
OWNER_PAGE = EmergencyPage(
    lines=(
        "1   OUT, everybody, now.  K  J  and guests.  Do not look for the cause.",
        "2   Meet at the woodshed gate. Count heads. Nobody goes back in.",
        "3   CALL 112.  Signal: top of the drive, 150 m uphill.",
        "    SAY  Oddwater cabin, end of Sallow Track, grid 4481 2207, no road sign.",
    ),
    checked="4 Jan 2026",
)


def lived(bed: datetime, wake: datetime) -> NightLived:
    """What the log has of a told night: five readings that fall, two loads, the air twice, two windows."""

    def after(hours: float) -> datetime:
        return bed + timedelta(hours=hours)

    said = (
        (-2.5, "3 M birch (4.8 kg), air 3/4 open (1/4 closed)", "3m 3/4"),
        (0.0, "2 M birch (3.2 kg), air 1/3 open (2/3 closed)", "2m 1/3"),
        (0.1, "to bed; inside 20.0 °C, outside −7 °C", "bed -7/20"),
        (8.0, "awake; inside 14.1 °C, outside −11 °C, coals few", "woke -11/14.1 coals few"),
    )
    return NightLived(
        past=Past(
            inside_c=tuple((after(h), v) for h, v in ((-2, 18.0), (0.1, 20.0), (3, 18.6), (8, 14.1))),
            outside_c=((after(0.1), -7.0), (wake, -11.0)),
            loads=((after(-2.5), "3M"), (bed, "2M")),
            air_open_pct=((after(-2.5), 75.0), (bed, 33.3)),
        ),
        lines=tuple(Line(event_id=f"then-{h}", at=after(h), sentence=s, typed=t) for h, s, t in said),
    )


@dataclass
class FakeDesk:
    """Remembers what it was told. ``kept`` is its log: the texts, in order, undone ones taken out."""

    at: datetime = NOW
    units: OwnUnits = field(default_factory=OwnUnits)
    empty: bool = False
    owner_page: EmergencyPage = OWNER_PAGE
    kept: list[str] = field(default_factory=list)
    undone: list[str] = field(default_factory=list)
    drafted: str = ""
    looked: str = ""
    slow_calls: list[str] = field(default_factory=list)
    broken: bool = False
    new: bool = False
    """Nothing described yet."""
    begun: dict[str, str] = field(default_factory=dict)
    first_kept: dict[str, str] = field(default_factory=dict)
    morning: str = ""
    stretches: tuple[Stretch, ...] = ()
    sheet: Sheet = field(default_factory=Sheet)
    """The sheet put aside."""
    hold: Callable[[str], None] | None = None
    """Called at the start of slow work: a test may wait in it."""

    def now(self) -> datetime:
        return self.at

    def zone(self) -> tzinfo:
        return ZONE

    def description(self) -> Description | None:
        return None if self.new else self.described

    @property
    def described(self) -> Description:
        return Description(
            cabin=Cabin(floor_m2=28, volume_m3=75), stove=Stove(max_load_kg=8.0), units=self.units
        )

    def head(self) -> Head:
        if self.empty and not self.kept:
            return Head(place="Oddwater", inside=None, outside=None, fire="not lit yet", pending=(ALARMS,))
        pending = []
        if "alarms ok" not in self.kept:
            pending.append(ALARMS)
        if not {"air 1/4", "skip turn-down"} & set(self.kept):
            pending.append(TURN_DOWN)
        window = Window.SHUT
        for text in self.kept:
            if text.startswith("window "):
                window = Window(text.split()[1])
        return Head(
            place="Oddwater",
            inside=("19.5 °C", at("21:30")),
            outside=("−9 °C", at("21:30")),
            fire=f"2 M at 20:55, air 1/2 open (1/2 closed) since then, window {window.value}",
            pending=tuple(pending),
            window=window,
            stay="since arriving at 15:10",
            stay_lines=len(self.latest(99)),
        )

    def latest(self, count: int) -> tuple[Line, ...]:
        new = [
            Line(event_id=f"new-{n}", at=self.at, sentence=f"kept: {text}", typed=text)
            for n, text in enumerate(self.kept)
            if not text.startswith(("remove ", "change ", "skip "))
        ]
        old = [
            Line(event_id=f"old-{n}", at=at(when), sentence=said, typed=text)
            for n, (when, said, text) in enumerate(() if self.empty else STAY)
        ]
        gone = {text.removeprefix("remove ") for text in self.kept if text.startswith("remove ")}
        return tuple(line for line in [*reversed(new), *old] if line.event_id not in gone)[:count]

    def past(self, since: datetime) -> Past:
        return Past() if self.empty else PAST

    def night(self, bed: datetime, wake: datetime) -> NightLived:
        return lived(bed, wake)

    def read(self, text: str) -> Heard:
        if "4x" in text:
            return Heard(
                text=text,
                standing=Standing.STOP,
                sentence='"4x" is not a piece size. Yours are S, M, L. As a note? Enter.',
                caret=text.index("4x"),
            )
        if re.search(r"(^|/)65\b", text):
            return Heard(
                text=text,
                standing=Standing.ASKS,
                sentence="65 inside is 65 °C. Enter means 65 °F (18.3 °C), c keeps 65 °C.",
                answers=("enter", "c"),
            )
        offered = "ch" if text.endswith("bir") else ""
        return Heard(text=text, standing=Standing.READS, sentence=f"21:40 {text}", offered=offered)

    def read_change(self, event_id: str, text: str) -> Heard:
        return self.read(text)

    def only_read(self) -> str:
        return ""

    def answer(self, heard: Heard, key: str) -> Heard:
        meant = heard.text + ("F" if key == "enter" else "C")
        return replace(heard, text=meant, standing=Standing.READS, sentence=meant, answers=())

    def _keep(self, text: str) -> Kept:
        if self.broken:
            raise LogbookError("The disk is full: the line is not saved. It stays here;\nfree some space.")
        self.kept.append(text)
        self.undone.clear()
        return Kept(sentence=f"21:40 {text}", event_ids=(f"new-{len(self.kept) - 1}",))

    def keep(self, heard: Heard) -> Kept:
        assert heard.standing is Standing.READS
        return self._keep(heard.text)

    def edit(self, event_id: str, heard: Heard) -> Kept:
        return self._keep(f"change {event_id}: {heard.text}")

    def remove(self, event_id: str) -> Kept:
        return self._keep(f"remove {event_id}")

    def undo(self) -> Kept:
        if not self.kept:
            raise LogbookError("Nothing to take back.")
        text = self.kept.pop()
        self.undone.append(text)
        return Kept(sentence=f"taken back: {text}. r brings it back.")

    def redo(self) -> Kept:
        if not self.undone:
            raise LogbookError("Nothing to bring back.")
        text = self.undone.pop()
        self.kept.append(text)
        return Kept(sentence=f"brought back: {text}")

    def skip(self, name: str) -> Kept:
        return self._keep(f"skip {name}")

    def emergency(self) -> EmergencyPage:
        kept = [text for text in self.kept if text.startswith("page ")]
        if kept:
            lines = tuple(kept[-1].removeprefix("page ").split("|"))
            return EmergencyPage(lines=lines, checked="16 Jan 2026")
        return self.owner_page

    def keep_emergency(self, page_lines: tuple[str, ...]) -> Kept:
        return self._keep(f"page {'|'.join(page_lines)}")

    def print_emergency(self) -> Kept:
        return Kept(sentence="Written: logs/cabin emergency page.txt. Print it and hang it by the door.")

    def print_report(self, name: str, progress: Callable[[str], None]) -> Kept:
        self._slow(f"report {name}")
        progress("writing the report")
        if self.empty:
            raise LogbookError(f"There is no {name} on record to report.\nIt begins with the first line.")
        return Kept(sentence=f"Written: logs/cabin {name} report.html. Open it in a browser and print it.")

    def print_sheet(self, name: str) -> Kept:
        return Kept(sentence=f"Written: logs/cabin {name} sheet.html. Open it in a browser and print it.")

    def sheet_draft(self) -> Sheet:
        return self.sheet

    def keep_sheet_draft(self, sheet: Sheet) -> None:
        self.sheet = sheet

    def read_sheet(self, sheet: Sheet) -> SheetRead:
        pieces = (("S", 0.8), ("M", 1.6), ("L", 2.8))
        setting = replace(setting_of(self.described), zone="Europe/Oslo", pieces_kg=pieces)
        return paper_copy.read_sheet(sheet, now=self.at, setting=setting)

    def keep_sheet(self, read: SheetRead) -> Kept:
        """As the real one says it; the rows go in as one text."""
        text = f"sheet {len(paper_copy.whole(read))}"
        if text in self.kept:
            raise LogbookError("All rows are in the log.\nNothing added.")
        return self._keep(text)

    def blanks(self) -> tuple[Blank, ...]:
        return () if self.new else real_blanks.blanks_of(self.described)

    def read_blank(self, name: str, text: str) -> Heard:
        try:
            real_blanks.with_blank(self.described, name, text)
        except LogbookError as error:
            return Heard(text=text, standing=Standing.STOP, sentence=" ".join(str(error).split()))
        return Heard(text=text, standing=Standing.READS, sentence=f"{name}: {text}", token=(name, text))

    def keep_blank(self, heard: Heard) -> Kept:
        return self._keep(f"blank {heard.token}")

    def first_texts(self) -> Mapping[str, str]:
        return self.first_kept

    def keep_first_texts(self, texts: Mapping[str, str]) -> None:
        self.first_kept = dict(texts)

    def first_evening(self, texts: Mapping[str, str]) -> Blanks:
        return first_evening(texts, zone="Europe/Oslo")

    def begin(self, texts: Mapping[str, str]) -> Kept:
        self.begun, self.new = dict(texts), False
        return Kept(sentence="Kept. What is not filled in can wait: page Cabin changes any of it.")

    def last_night(self) -> LastNight:
        return LastNight(sentence=self.morning)

    def so_far(self, texts: Mapping[str, str]) -> SoFar | None:
        self.slow_calls.append("so far")
        return SoFar(
            cools="No fire and −10 °C out: 18 °C at 22:30 is −4 to 5 °C by 06:30.",
            evening=f"{texts['limit']} kg is the limit: 8 to 21 °C by 06:30.",
            note="From the description alone. Each evening's readings narrow it.",
        )

    def cabin(self, progress: Callable[[str], None]) -> CabinPage:
        self._slow("cabin")
        return replace(CABIN, stretches=self.stretches)

    def left_out(self) -> tuple[Between, ...]:
        spans: list[Between] = []
        for text in self.kept:
            if text.startswith("out "):
                start, end = (datetime.fromisoformat(part) for part in text.split()[1:])
                spans.append(Between(start=start, end=end))
            elif text.startswith("in "):
                middle = datetime.fromisoformat(text.split()[1])
                spans = [s for s in spans if not s.start <= middle <= s.end]
        return tuple(spans)

    def leave_out(self, span: Between) -> Kept:
        return self._keep(f"out {span.start.isoformat()} {span.end.isoformat()}")

    def use_again(self, span: Between) -> Kept:
        return self._keep(f"in {(span.start + (span.end - span.start) / 2).isoformat()}")

    def going(self, progress: Callable[[str], None]) -> Going:
        self._slow("going")
        return GOING

    def year(self, progress: Callable[[str], None]) -> YearPage:
        self._slow("year")
        progress("reading the year")
        return fake_year(self)

    def is_stale(self) -> bool:
        return False

    def is_free(self) -> bool:
        return True

    def copy_by_itself(self) -> str:
        return "A copy of the log is kept: cabin copies"

    def listing(self, name: str, progress: Callable[[str], None]) -> Listed:
        self._slow(f"list {name}".strip())
        return fake_list(self, name or "leaving")

    def tick(self, list_: Listed, line: str, *, done: bool) -> ListAct:
        text = f"{'done' if done else 'skip'} {list_.name}: {line}"
        kept = self._keep(text)
        return ListAct(
            sentence=f"{'Done' if done else 'Skipped'} 21:40: {line}.",
            listed=fake_list(self, list_.name),
            event_ids=kept.event_ids,
        )

    def add_to_list(self, list_: Listed, text: str, *, before: str) -> ListAct:
        if any(line.name == text for line in list_.lines):
            raise LogbookError(f"'{text}' is in this list already.\nCall yours otherwise.")
        self._keep(f"add {list_.name}: {before}|{text}")
        listed = fake_list(self, list_.name)
        return ListAct(sentence=f"In: {text}", listed=listed, event_ids=(text,))

    def works(self, progress: Callable[[str], None]) -> Works:
        self._slow("works")
        return Works(changes=()) if self.empty else WORKS

    def what_if(self, text: str) -> WhatIf:
        self._slow("what if")
        if "fluff" in text:
            raise LogbookError("'fluff' is no material known here.\nWrite for example: roof +90mm batt.")
        return WhatIf(text=text, lines=(f"{text}: heat loss 10 % less (16 % less to 5 % less).", *WHATS))

    def effect(self, name: str, text: str) -> Effect | None:
        self.slow_calls.append(f"effect {name} {text}")
        return Effect(sentence="Heat loss by the description alone: 58–265 W per °C before, 70–300 then.")

    def draft(self) -> str:
        return self.drafted

    def keep_draft(self, text: str) -> None:
        self.drafted = text

    def look(self) -> str:
        return self.looked

    def keep_look(self, name: str) -> None:
        self.looked = name

    def _slow(self, name: str) -> None:
        self.slow_calls.append(name)
        if self.hold is not None:
            self.hold(name)

    def expect(self, progress: Callable[[str], None]) -> Expect:
        self._slow("expect")
        progress("reading the evening")
        return Expect(
            as_of=self.at,
            bed=BED,
            wake=WAKE,
            band_c=BAND_C,
            choice=NO_FIRE,
            short=SHORT,
            long=LONG,
            ahead=Ahead(
                outside_c=OUTSIDE_AHEAD,
                burning=(Burning(self.at, at("01:00"), False), Burning(at("01:00"), at("05:45"), True)),
            ),
        )

    def tonight(self, progress: Callable[[str], None]) -> Evening:
        self._slow("tonight")
        answer = TonightAnswer(
            as_of=self.at,
            bed=BED,
            wake=WAKE,
            band_c=BAND_C,
            choices=CHOICES,
            advice="Nothing holds 16–22 °C all night. The first comes nearest: 3 in 10.",
            cautions=(FLOOR,),
        )
        ahead = Ahead(outside_c=OUTSIDE_AHEAD, burning=(Burning(self.at, at("05:45"), False),))
        return Evening(
            answer=answer,
            ahead=(ahead,) * len(CHOICES),
            lines=("1M air 1/3", "1M 1L air 1/4", "3M air 1/3 window cracked", "2M air 1/4", ""),
        )

    def try_plan(self, text: str) -> Tried | None:
        self.slow_calls.append(f"try {text}")
        return Tried(choice=CHOICES[3]) if "m" in text.lower() else None

    def nights(self, progress: Callable[[str], None]) -> Track:
        self._slow("nights")
        return Track(rows=(), score=(), band_c=BAND_C) if self.empty else TRACK


@contextmanager
def fake_demo() -> Iterator[FakeDesk]:
    """In the place of the demo: another evening."""
    yield FakeDesk()


MONKEY_KEYS = (
    *"abcdefghijklmnoprstuvwxyz0123456789",  # all letters but q, which closes
    *("space", "enter", "escape", "tab", "up", "down", "left", "right", "pageup", "pagedown", "home", "end"),
    *("backspace", "delete", "minus", "slash", "full_stop", "comma", "exclamation_mark", "question_mark"),
    *("f1", "f5", "f12", "alt+t", "shift+tab", "ctrl+p"),
)
