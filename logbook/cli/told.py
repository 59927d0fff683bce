"""What ``--help`` says of each command beside its flags: its purpose and an example. Light.

The man page and the completions are made from the same parser (``scripts/made.py``), so none can drift.
"""

from __future__ import annotations

import argparse
import textwrap
from typing import NamedTuple

WIDTH = 78
"""Columns of the text around the flags: two fewer than the narrowest terminal, as argparse has it."""

ALWAYS = """--log FILE and --json (SI units) may stand before or after the command.
Exit codes: 0 answered, 1 refused with a reason, 2 bad input,
3 the log could not be read or written."""


class Told(NamedTuple):
    """A command's purpose in a sentence or two, and lines to type."""

    purpose: str
    examples: tuple[str, ...]


TOLD = {
    "setup": Told(
        "Makes a log from a description of cabin and stove, or keeps a new version of it from a date on. "
        "Only floor, volume and the largest load are needed.",
        ("nightload setup --example > cabin.toml", "nightload setup cabin.toml --from 2026-10-01"),
    ),
    "note": Told(
        "Keeps one line, any order; what it can't read becomes a note. It says back what it understood.",
        ('nightload note "-11/18 4.2kg birch air 1/4"', 'nightload note "last night 11pm out -9"'),
    ),
    "events": Told(
        "Lists what was recorded, each with the identifier that edit and remove take.",
        ("nightload events --since 2026-01-16",),
    ),
    "edit": Told(
        "Puts another line in the place of an entry. The first one is kept beneath it; undo brings it back.",
        ('nightload edit 3f2a "-11/18 4m air 1/4"',),
    ),
    "remove": Told(
        "Leaves an entry out of every answer. It stays in the file; undo brings it back.",
        ("nightload remove 3f2a",),
    ),
    "undo": Told("Takes back the last act, an import as a whole.", ("nightload undo",)),
    "redo": Told("Brings back what undo took back last.", ("nightload redo",)),
    "change": Told(
        "Records a dated change to cabin or stove, so that nights before and after can be compared.",
        ('nightload change "skirting" --from 2025-10-04', "nightload compare skirting"),
    ),
    "import": Told(
        "Brings in the rows of a table. Says what it understood and what it refused, by line; the same file "
        "twice adds nothing. Undo takes it back as a whole. A folder that export wrote is read back whole, "
        "into a new log or as merge does.",
        ("nightload import logger.csv --preview", "nightload import ~/cabin-tables"),
    ),
    "fit": Told(
        "Heat loss (W/K), time constant (h), heat capacity (MJ/K) and stove, with 90 % ranges, or why they "
        "can't be told yet.",
        ("nightload fit", "nightload fit --as-of 2026-01-16"),
    ),
    "tonight": Told(
        "What to put in and how to set the air: ranked choices with the room's range at waking, reasons from "
        "your own nights, and cautions. Never less air than your stove's clean-burn floor.",
        (
            "nightload tonight --night-low -9 --bed 22:30 --wake 7:00",
            'nightload tonight --try "load 6kg air 60%; 22:40 air 40%"',
        ),
    ),
    "nights": Told(
        "The track record: what was said before each night and what came. Speaks up when something drifts.",
        ("nightload nights",),
    ),
    "compare": Told(
        "Before and after a dated change: did it help, what it cost and when it has paid for itself, where "
        "that can be told.",
        ("nightload compare skirting",),
    ),
    "whatif": Told(
        "Heat loss, hours to freezing and wood if the cabin were changed, each step after the one before.",
        (
            'nightload whatif "roof +100mm mineral wool batt" "window double"',
            'nightload whatif "leakiness tight" --outside -10',
        ),
    ),
    "experiment": Told(
        "Nights one way against nights the other, told apart by a word in their notes; says how many more it "
        "would take.",
        ("nightload experiment curtain --seek 1.5",),
    ),
    "arrive": Told(
        "The list for the door in a safe order, then how long until the room is warm and dry, by stages.",
        ("nightload arrive --outdoor -6 --inside 2", "nightload arrive --droppings"),
    ),
    "leave": Told(
        "The list for going, then how long until the room is cold and the pipes may freeze, as a range.",
        ("nightload leave --night-low -12 --line 5",),
    ),
    "woke": Told(
        "Awake in the night: let it burn, open the window, or a little more wood, ranked for the hours left.",
        ("nightload woke --wake 7:00",),
    ),
    "list": Told(
        "Your own lines in your own order beside the usual cautions. Frost, droppings, guests or a month "
        "away change it; what is skipped on leaving comes first on arriving.",
        (
            "nightload list leaving",
            "nightload list leaving --done 3",
            'nightload list packing --add "mantles"',
        ),
    ),
    "due": Told(
        "Upkeep by date, wood burned or days with a fire, each with who says so; the ash's date; the dated "
        "record to print.",
        ("nightload due --all", "nightload due --record > upkeep.txt"),
    ),
    "wood": Told(
        "The wood shed: what is left of each stack, how dry, when ready, for how many nights, and what to "
        "split before which day.",
        ("nightload wood",),
    ),
    "stays": Told(
        "Stays with people, wood, coldest dawn and guest book; a season on a page; this weekend in other "
        "years.",
        ("nightload stays --year 2025", "nightload stays --this-weekend"),
    ),
    "weather": Told(
        "Days you typed or read outside, with degree-days; your own record.",
        ("nightload weather --days 30 --base 15.5",),
    ),
    "bring": Told(
        "What to carry: supplies by your own use, your list, alarms due, wood for the stay.",
        ("nightload bring --people 3 --nights 2 --night-low -8",),
    ),
    "damp": Told(
        "Dew point against your windows and walls, the water of the stay, how long to air before it cools.",
        ("nightload damp --inside 19 --rh 60 --outdoor -3",),
    ),
    "sheet": Told(
        "Pages to print: for the wall, to fill in by hand, the leaving list, the dated record.",
        ("nightload sheet guest > guest.txt", "nightload sheet weekend --html weekend.html --size letter"),
    ),
    "report": Told(
        "A stay or a season told, with charts: wood, nights in the band, what was said against what came, "
        "records, upkeep, works.",
        ("nightload report --season 2025 --html season.html", "nightload report --stay last"),
    ),
    "export": Told(
        "Writes the log as open files into a folder: tables, every event as a line of JSON, and a dictionary "
        "of every column. import DIR makes an equal log of it.",
        ("nightload export ~/cabin-tables",),
    ),
    "backup": Told(
        "Writes a dated copy of the log, whole, never over another. By itself one is made before a merge and "
        "on leaving.",
        ("nightload backup /media/stick",),
    ),
    "restore": Told(
        "Puts a copy in the place of the log; the log that was there is kept beside it. Without a name it "
        "lists the copies there are.",
        ("nightload restore", "nightload restore nightload-2026-01-18.db"),
    ),
    "merge": Told(
        "Brings in what another log has and this one lacks; a second time changes nothing. A copy is kept "
        "before; what both changed is listed, with what holds.",
        ("nightload merge other-laptop.db",),
    ),
    "conflicts": Told(
        "Lists the entries that two computers changed apart from each other, until you settle them: by the "
        "number of the side that shall hold, or by edit.",
        ("nightload conflicts", "nightload conflicts 3f2a91c0 2"),
    ),
    "check": Told("Looks through the whole log for damage and says what to do.", ("nightload check",)),
    "salvage": Told(
        "Saves into a new log what is whole in a damaged one, and into a table beside it what is left of the "
        "rest. A sound copy is better where there is one: restore.",
        ("nightload salvage cabin.db saved.db", "nightload --log saved.db check"),
    ),
    "demo": Told(
        "The app on a fresh copy of an invented cabin's log; your own log is not touched.",
        ("nightload demo", "nightload demo --tonight", "nightload demo --write demo.db"),
    ),
    "plain": Told(
        "The app line by line, for a screen reader or a pipe: type help in it.", ("nightload plain",)
    ),
    "completion": Told(
        "Prints the completion of commands, flags and their words for a shell, ready to be kept in a file.",
        (
            "nightload completion bash > ~/.local/share/bash-completion/completions/nightload",
            "nightload completion zsh > ~/.zfunc/_nightload",
            "nightload completion fish > ~/.config/fish/completions/nightload.fish",
        ),
    ),
    "manual": Told(
        "Prints the man page, made from these same helps. Read it with man -l.",
        ("nightload manual > nightload.1 && man -l nightload.1",),
    ),
    "licences": Told(
        "Lists the libraries this program stands on: version, licence, what each is for.",
        ("nightload licences",),
    ),
}
"""By command. A command without a row here fails a test."""


def tell(name: str, command: argparse.ArgumentParser) -> None:
    """Give a command's help its purpose, its examples, and what holds for all."""
    told = TOLD.get(name)
    if told is None:
        return
    command.formatter_class = argparse.RawDescriptionHelpFormatter
    command.description = textwrap.fill(told.purpose, WIDTH)
    lines = ["Example:" if len(told.examples) == 1 else "Examples:"]
    lines += [f"  {one}" for one in told.examples]
    command.epilog = "\n".join([*lines, "", ALWAYS])
