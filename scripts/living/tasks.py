"""The tasks, each as its owner lives it: keys in, the screen's words and the log's records checked."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from living.terminal import NotSeen, Terminal, nightload
from logbook.demo import write_demo
from logbook.matters import Tick, Upkeep
from logbook.records import Entry, How
from logbook.store.log import open_log

SLOW_S = 120.0
"""How long the first reckoning of a fresh demo may take on a crowded machine."""

READY = r"Numbers write"

PAPER = "a paper weekend of 16 rows"


@dataclass
class Living:
    """A terminal with the demo open in it, and the demo's log beside it."""

    terminal: Terminal
    folder: Path

    @property
    def log(self) -> Path:
        """The demo's log file, or the copy of it opened at today's date."""
        return next(self.folder.glob("*/demo.db"))

    def newest(self) -> Entry:
        """The entry written last."""
        with open_log(self.log, create=False) as log:
            written = sorted(log.current_entries(), key=lambda event: event.written_at)
            entry = written[-1].entry
        assert entry is not None, "the newest event is an entry"
        return entry

    def setting(self, name: str) -> str | None:
        """A setting of the log."""
        with open_log(self.log, create=False) as log:
            return log.setting(name)


Live = Callable[[Living], None]


def same(got: object, wanted: object, what: str) -> None:
    """A record is as it was meant."""
    if got != wanted:
        raise NotSeen(f"{what} in the log is {got!r}, meant was {wanted!r}")


def quick_entry(living: Living) -> None:
    """One line for outside, inside, load and air."""
    terminal = living.terminal
    terminal.write("-11/18 4m 1/4")
    terminal.wait_for(r"reads .*out −11 °C, in 18\.0 °C, 4 M .* air 1/4 open \(3/4 closed\)")
    terminal.press("Enter")
    terminal.wait_for(r"saved 21:40 out −11 °C, in 18\.0 °C, 4 M")
    entry = living.newest()
    got = (entry.outdoor_c, entry.indoor_c, entry.pieces, entry.air_open_pct)
    same(got, (-11.0, 18.0, "4 M", 25.0), "line")


def undo(living: Living) -> None:
    """One key takes it back."""
    before = living.newest()
    living.terminal.write("-12/17")
    living.terminal.press("Enter")
    living.terminal.wait_for("saved .*−12")
    living.terminal.count_from_here()
    living.terminal.letter("u")
    living.terminal.wait_for("back Taken back")
    same(living.newest(), before, "newest line")


def last_load(living: Living) -> None:
    """Readings with the last load again."""
    living.terminal.write("-11/18 same")
    living.terminal.press("Enter")
    living.terminal.wait_for(r"saved .*out −11 °C, in 18\.0 °C, 3\.1 kg")
    same(living.newest().load_kg, 3.1, "load")


def last_load_alone(living: Living) -> None:
    """The last load and air again, now."""
    living.terminal.letter("j")
    living.terminal.wait_for(r"saved .*3\.1 kg")
    same(living.newest().load_kg, 3.1, "load")


def note(living: Living) -> None:
    """What can't be read is kept as a note."""
    living.terminal.press("Space")
    living.terminal.write("owl on the ridge")
    living.terminal.press("Enter")
    living.terminal.wait_for("saved .*owl on the ridge")
    same(living.newest().note, "owl on the ridge", "note")


def backdated(living: Living) -> None:
    """Last night at eleven, written the evening after."""
    living.terminal.press("Space")
    living.terminal.write("last night 11 out -9")
    living.terminal.press("Enter")
    living.terminal.wait_for("saved Fri 27 Feb 23:00, night of Fri 27: out −9 °C")
    same(living.newest().at.isoformat(), "2026-02-27T22:00:00+00:00", "time")


def hours_ago(living: Living) -> None:
    """Two hours ago."""
    living.terminal.write("-2h 2m")
    living.terminal.press("Enter")
    living.terminal.wait_for("saved 19:40 2 M")
    same(living.newest().at.isoformat(), "2026-02-28T18:40:00+00:00", "time")


def suggestion(living: Living) -> None:
    """Tonight's load with its range, other choices and no fire."""
    living.terminal.letter("t")
    shown = living.terminal.wait_for(r"(?s)advice.*no fire", within_s=SLOW_S)
    for wanted in (r"\d/\d open|% open", "closed", r"\d+–\d+", "(?i)untried|°C"):
        if not re.search(wanted, shown):
            raise NotSeen(f"'{wanted}' is missing on Tonight:\n{shown}")


def take_it(living: Living) -> None:
    """The first choice into the line, and kept once the wood is in."""
    living.terminal.letter("t")
    living.terminal.wait_for(r"(?s)advice.*no fire", within_s=SLOW_S)
    living.terminal.count_from_here()
    living.terminal.press("Enter")
    living.terminal.wait_for(r"write .*\d [SML]")
    living.terminal.press("Enter")
    living.terminal.wait_for(r"saved 21:40 .*\d [SML]")
    if not living.newest().load_kg:
        raise NotSeen("no load in the log")


def alarms(living: Living) -> None:
    """A new stay, months after the demo's last: the alarm test stands first until it is recorded."""
    terminal = living.terminal
    terminal.letter("t")
    terminal.wait_for("first Alarms not tested this stay")
    terminal.count_from_here()
    terminal.letter("k")
    shown = terminal.wait_for("saved .*[Aa]larms tested")
    if "first Alarms" in shown:
        raise NotSeen(f"the alarm test still stands first:\n{shown}")
    same(living.newest().alarms_tested, True, "alarm test")


def emergency(living: Living) -> None:
    """The emergency page from the middle of a line, and back with the line whole."""
    terminal = living.terminal
    terminal.write("-11/18 4m")
    terminal.wait_for("write -11/18 4m")
    terminal.count_from_here()
    terminal.write("!")
    terminal.wait_for("EMERGENCY")
    terminal.count_no_more()
    terminal.press("Escape")
    terminal.wait_for("write -11/18 4m")


def turn_down(living: Living) -> None:
    """After a load with the air open: what waits, and that it is done."""
    terminal = living.terminal
    terminal.write("3m 1/1")
    terminal.press("Enter")
    terminal.wait_for(r"then .*Air .*open \(.*closed\).*d done")
    terminal.count_from_here()
    terminal.letter("d")
    shown = terminal.wait_for(r"saved 21:40 air .*open \(.*closed\)")
    if re.search("then .*d done", shown):
        raise NotSeen(f"the turn-down still waits:\n{shown}")
    if not (living.newest().air_open_pct or 100) < 100:
        raise NotSeen("the air in the log was not turned down")


def rescaled(living: Living) -> None:
    """The lever's scale slipped: older settings are not mixed with newer."""
    terminal = living.terminal
    terminal.press("Space")
    terminal.write("lever rescaled")
    terminal.press("Enter")
    terminal.wait_for("asks From now")
    terminal.press("Enter")
    terminal.wait_for("saved .*lever rescaled")
    same(living.newest().change, "lever rescaled", "change")


def own_units(living: Living) -> None:
    """A measure of one's own, then used."""
    terminal = living.terminal
    terminal.press("Space")
    terminal.write("box = 8 M")
    terminal.press("Enter")
    terminal.wait_for(r"saved 1 box = .*\d+\.\d kg")
    terminal.count_no_more()
    terminal.press("Space")
    terminal.write("half a box")
    terminal.press("Enter")
    terminal.wait_for(r"saved 21:40 .*kg")
    if not living.newest().load_kg:
        raise NotSeen("half a box has no mass in the log")


def no_fire(living: Living) -> None:
    """What the night would be with no fire, on page Cabin: from what, to what, by when, as a range."""
    terminal = living.terminal
    terminal.letter("c")
    terminal.wait_for(r"cools .*°C out, .*down to .*°C by \d\d:\d\d", within_s=SLOW_S)


def open_night(living: Living) -> None:
    """A past night opened, then two side by side."""
    terminal = living.terminal
    terminal.letter("n")
    terminal.wait_for(r"show \d+ nights", within_s=6 * SLOW_S)
    terminal.press("Enter")
    terminal.wait_for(r"Said .*–.* °C for")
    terminal.press("Escape")
    terminal.letter("v")
    terminal.wait_for("is marked")
    terminal.press("Down")
    terminal.letter("v")
    terminal.wait_for("beside .* against ")


SIXTEEN_ROWS = (
    "1740›5›5.5nar→↓", "1749w2.4›100›k→↓", "1811w2s1m↓", "1840›6›10.5›3.7›60↓", "1905›a35↓", "2025i21↓",
    "2124›5›20›1s2m›60↓", "22›a40↓", "2226›4›23.5nco→ g→↓", "2231w5.5›90↓", "2242nbed↓",
    "652›5.5›21nwo→ co→ n→↓", "734w2.3›100›k→↓", "748›5›20›2.7›80↓", "813›a50↓", "933i24.5↓",
)  # fmt: skip
"""The demo's first sixteen rows, merged by minute, as typed from a sheet: › next cell, → the word offered,
↓ ends the row; i, w, a, n go straight to inside, wood, air, note."""

SIGNS = {"›": "Tab", "→": "Right", "↓": "Down"}


def paper_weekend(living: Living) -> None:
    """Sixteen rows copied down the page, and kept as one act that one key takes back."""
    terminal = living.terminal
    with open_log(living.log, create=False) as log:
        before = len(log.current_entries())
    terminal.letter("p")
    terminal.wait_for("Copy a weekend in")
    terminal.press("Enter")
    terminal.write("5 dec")
    terminal.press("Tab")
    for row in SIXTEEN_ROWS:
        for piece in re.findall(r"[›→↓]|[^›→↓]+", row):
            if piece in SIGNS:
                terminal.press(SIGNS[piece])
            else:
                terminal.write(piece)
    terminal.wait_for("Enter keeps all 16 rows", within_s=SLOW_S)
    terminal.press("Enter")
    terminal.wait_for("saved 16 rows from paper, Fri 5 Dec 2025")
    terminal.count_no_more()
    with open_log(living.log, create=False) as log:
        events = log.current_entries()
    same(len(events) - before, 16, "rows")
    same(len({event.batch for event in events if event.how is How.PAPER}), 1, "acts")
    terminal.letter("u")
    terminal.wait_for("back Taken back: 16 entries")


def stretch_left_out(living: Living) -> None:
    """A stretch that rests on an open window no longer counts; the sentence above is reckoned anew."""
    terminal = living.terminal
    terminal.letter("c")
    terminal.wait_for("x leaves a stretch", within_s=SLOW_S)
    terminal.press("Down", "Down")
    terminal.letter("x")
    terminal.wait_for("saved Left out of learning")
    terminal.wait_for("17 of 18 used")
    terminal.count_no_more()
    if not living.setting("left_out"):
        raise NotSeen("nothing is left out in the log")
    terminal.letter("v")
    terminal.wait_for("18 of 18 used")


def going(living: Living) -> None:
    """How long the room keeps, with its cautions, before the door is shut."""
    living.terminal.letter("g")
    living.terminal.wait_for(r"(?s)leave .*freeze 0 °C in .*care ", within_s=SLOW_S)


def leaving_ticked(living: Living) -> None:
    """Every line of the leaving list with its time, one skipped: first on the list at the next arrival."""
    terminal = living.terminal
    terminal.letter("g")
    terminal.wait_for(r"leave 6 lines\.", within_s=SLOW_S)
    terminal.letter("v", "v", "x", "v", "v", "v")
    terminal.wait_for("Nothing left: 6 lines, 5 done, 1 skipped")
    terminal.count_no_more()
    with open_log(living.log, create=False) as log:
        ticks = [entry.matter for entry in log.matters() if isinstance(entry.matter, Tick)]
    same([tick.done for tick in ticks[-6:]], [True, True, False, True, True, True], "ticks")


def marked_done(living: Living) -> None:
    """What is due, the roof chosen and done, by the line that could have been typed."""
    terminal = living.terminal
    terminal.letter("y")
    terminal.wait_for("roof  .*due since", within_s=SLOW_S)
    terminal.press("Down", "Down", "Down")
    terminal.letter("v")
    terminal.wait_for("saved .*did roof")
    terminal.count_no_more()
    same(living.newest().matter, Upkeep(task="roof"), "upkeep")
    terminal.letter("u")
    terminal.wait_for("roof  .*due since", within_s=SLOW_S)


TASKS: tuple[tuple[str, str, Live], ...] = (
    ("1", "quick entry", quick_entry),
    ("1", "take it back", undo),
    ("1", "readings, the last load again", last_load),
    ("1", "the last load again", last_load_alone),
    ("1", "a note", note),
    ("2", "last night at eleven", backdated),
    ("2", "two hours ago", hours_ago),
    ("3", "tonight's suggestion", suggestion),
    ("3", "take it", take_it),
    ("4", "alarms tested", alarms),
    ("4", "emergency page while writing", emergency),
    ("5", "air turned down", turn_down),
    ("6", "lever rescaled", rescaled),
    ("7", "own measure", own_units),
    ("8", PAPER, paper_weekend),
    ("9", "before leaving", going),
    ("9", "six lines ticked on leaving, one skipped", leaving_ticked),
    ("", "a task of upkeep done", marked_done),
    ("10", "no fire tonight", no_fire),
    ("10", "a stretch left out", stretch_left_out),
    ("", "a night opened, two compared", open_night),
)
"""Number of the owner's task, its name, and how it is lived."""

SAID = {PAPER: "`p` Enter `5 dec` Tab, then 16 rows down the page, Enter"}
"""Keys told in short, where all of them would fill a page; the others are told as they were pressed."""

TODAY = (alarms,)
"""Tasks that need a stay of their own: the demo's alarms are tested already."""

SHELL: tuple[tuple[str, str, tuple[str, ...], str, str], ...] = (
    ("1", "quick entry from the shell", ("note", "-11/18 4M air 1/4"), r"out −11 °C, in 18\.0 °C, 4 M", ""),
    ("9", "leaving", ("leave",), r"Before you go:", ""),
    ("11", "line by line", ("--plain",), r"saved: .*out minus 9 °C", "-9/18\nquit\n"),
)
"""Tasks of the shell: number, name, words, what is answered, and what is typed in."""


def opening(live: Live, folder: Path) -> list[str]:
    """What opens the log a task lives on: the demo with its clock standing, or its copy at today's date."""
    if live not in TODAY:
        return nightload("demo")
    copy = folder / "copy" / "demo.db"
    copy.parent.mkdir(parents=True)
    write_demo(copy)
    return nightload("--log", str(copy))
