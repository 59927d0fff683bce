"""What every column and key of an export means: name, type, unit, meaning, limits, words. One table for all.

``dictionary_out`` writes it into each export as DICTIONARY.md, dictionary.csv and a JSON schema. Limits are
those of what comes in by tables; what was recorded before a limit was set stays as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from logbook.records import Act, Flag, How, Window
from logbook.store.columns import BY_NAME, WORDS


@dataclass(frozen=True, slots=True)
class Meaning:
    """One column or key. ``kind`` is text, number, whole number, yes or no, time, day, list, or JSON."""

    name: str
    kind: str
    meaning: str
    unit: str = ""
    words: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    always: bool = False
    """Whether it is never left out."""


def _of(words: type[StrEnum]) -> tuple[str, ...]:
    return tuple(word.value for word in words)


def _entry(name: str, kind: str, meaning: str, *, always: bool = False) -> Meaning:
    """A field of an entry, with the limits and words its column has on the way in."""
    quantity = BY_NAME.get(name)
    made = Meaning(name, kind, meaning, words=_of(WORDS[name]) if name in WORDS else (), always=always)
    if quantity is None:
        return made
    return replace(made, unit=quantity.unit, least=quantity.low, most=quantity.high)


ENTRY: tuple[Meaning, ...] = (
    _entry("at", "time", "the moment the entry is meant for", always=True),
    _entry("indoor_c", "number", "room temperature at the place named, as read"),
    _entry("place", "text", "which thermometer; empty: the main one"),
    _entry("outdoor_c", "number", "temperature outside, as read"),
    _entry("low_c", "number", "lowest room temperature since reset_at, from a min/max thermometer"),
    _entry("high_c", "number", "highest room temperature since reset_at"),
    _entry("reset_at", "time", "when the min/max thermometer was last reset; empty: at going to bed"),
    _entry("load_kg", "number", "wood laid into the stove, mass as weighed, water included"),
    _entry("pieces", "text", "the load in the owner's own measure, such as 2 medium"),
    _entry("species", "text", "kind of wood of this load; empty: the usual one"),
    _entry("moisture_pct", "number", "wood moisture of this load; empty: the usual one"),
    _entry("moisture_basis", "text", "what the moisture is a share of: the wet wood or its dry part"),
    _entry("kindling", "yes or no", "small stuff was lit for a cold start"),
    _entry("air_open_pct", "number", "air control of the stove, share it stands open"),
    _entry("flue_damper_open_pct", "number", "damper in the flue, share it stands open"),
    _entry("window", "text", "how a window stands from now on"),
    _entry("coals", "text", "what is left glowing"),
    _entry("other_heat_w", "number", "heat from anything but the stove, from now until the next value"),
    _entry("rh_pct", "number", "relative humidity of the room"),
    _entry("wind", "text", "wind as felt at the door"),
    _entry("forecast_low_c", "number", "the coming night's lowest temperature outside, as forecast"),
    _entry("mark", "text", "a moment of the stay"),
    _entry("fire_out", "yes or no", "the fire was found or let go out"),
    _entry("alarms_tested", "yes or no", "smoke and carbon monoxide alarms were tested"),
    _entry("change", "text", "what was changed at cabin or stove from now on"),
    _entry("note", "text", "free text"),
    _entry("matter", "JSON", "what the entry says besides the night; kinds and keys stand under matter"),
    replace(
        _entry("flags", "list", "what to know about the entry; in tables parted by blanks"), words=_of(Flag)
    ),
)
"""The fields of an entry, under the same names in tables, in JSON and in the log file."""

CLOSED = Meaning(
    *("air_closed_pct", "number", "the same the other way round: 100 less air_open_pct", "%"),
    least=0.0,
    most=100.0,
)

EVENT: tuple[Meaning, ...] = (
    Meaning("uuid", "text", "the event's identifier, the same in every copy of the log", always=True),
    Meaning("device", "text", "identifier of the machine that wrote it", always=True),
    Meaning("counter", "whole number", "its place in the order of writing", least=1.0, always=True),
    Meaning("batch", "text", "identifier of the act it belongs to; an act is taken back whole", always=True),
    Meaning("act", "text", "what the event does", words=_of(Act), always=True),
    Meaning("root", "text", "edit and remove: the first event of the chain of changes"),
    Meaning("supersedes", "text", "edit and remove: the event whose place it takes"),
    Meaning("target", "text", "undo and redo: the batch taken back or brought back"),
    Meaning("at_typed", "text", "the time as typed; empty: now", always=True),
    Meaning("zone", "text", "time zone the line was meant in, IANA name", always=True),
    Meaning("written_at", "time", "when it was written, by the machine's clock", always=True),
    Meaning("how", "text", "how it came in", words=_of(How), always=True),
    Meaning(
        "line",
        "text",
        "the whole line as typed or as it stood in the table; of a setting or undo, what its writer knew of",
        always=True,
    ),
)
"""What every event has, under the same names in JSON, in tables and in the log file."""

TYPED: tuple[Meaning, ...] = (
    Meaning("name", "text", "the field it became", always=True),
    Meaning("text", "text", "the value as typed", always=True),
    Meaning("unit", "text", "the unit it was typed in", always=True),
    Meaning("position", "whole number", "its place in the line; left out: its place in the list", least=0.0),
)
DESCRIPTION: tuple[Meaning, ...] = (
    Meaning("valid_from", "time", "from when the description holds; left out: always"),
    Meaning("toml", "text", "cabin, stove, site and wishes as TOML", always=True),
)
SETTING: tuple[Meaning, ...] = (
    Meaning("name", "text", "what is remembered, such as air lever", always=True),
    Meaning("value", "text", "what is remembered of it", always=True),
)
DIGEST = Meaning("digest", "text", "BLAKE2b of 16 bytes over all the event says, in hexadecimal")

LINE: tuple[Meaning, ...] = (
    *EVENT,
    Meaning("entry", "JSON", "record and edit: the entry; its keys stand under entry"),
    Meaning("typed", "list", "the values as typed; keys under typed"),
    Meaning("description", "JSON", "describe: a version of the description; keys under description"),
    Meaning("setting", "JSON", "setting: something remembered; keys under setting"),
    DIGEST,
)
"""The keys of a line of events.jsonl."""

HEADER: tuple[Meaning, ...] = (
    Meaning("format", "text", "what the file is: nightload events", always=True),
    Meaning("version", "whole number", "version of this format", least=1.0, always=True),
    Meaning("events", "whole number", "how many lines follow, one event each", least=0.0, always=True),
)

_HISTORY_TYPED = Meaning("typed", "text", "values as typed, name=text unit, parted by semicolons")
_HISTORY_SUPERSEDES = Meaning(
    "supersedes", "text", "the event it takes the place of, or the batch it takes back"
)
_ABOUT = {m.name: m for m in EVENT} | {"supersedes": _HISTORY_SUPERSEDES}

NIGHTS: tuple[Meaning, ...] = (
    Meaning("evening", "day", "the evening the night began", always=True),
    Meaning("bed", "time", "going to bed", always=True),
    Meaning("wake", "time", "waking", always=True),
    Meaning("marks_inferred", "yes or no", "bed or waking was not written down but inferred", always=True),
    Meaning("start_c", "number", "room at going to bed", "°C"),
    Meaning("outdoor_low_c", "number", "lowest read outside that night, else forecast", "°C"),
    Meaning("load_kg", "number", "wood laid in around going to bed, as weighed", "kg", least=0.0),
    Meaning("pieces", "text", "the same in the owner's own measure"),
    Meaning("air_open_pct", "number", "how far the air stood open after that", "%", least=0.0, most=100.0),
    Meaning("window", "text", "how the window stood", words=_of(Window)),
    Meaning("loads_after", "whole number", "loads put in later in the night", least=0.0),
    Meaning("load_after_kg", "number", "their mass together", "kg", least=0.0),
    Meaning("woke_c", "number", "room at waking", "°C"),
    Meaning(
        "said_p05_c",
        "number",
        "what was said before the night for waking: 5 in 100 colder; in a log of over 20,000 entries told "
        "for the newest 10 nights only",
        "°C",
    ),
    Meaning("said_p50_c", "number", "the same: as likely colder as warmer", "°C"),
    Meaning("said_p95_c", "number", "the same: 5 in 100 warmer", "°C"),
    Meaning("inside_90", "yes or no", "waking lay between the two"),
)
STAYS: tuple[Meaning, ...] = (
    Meaning("start", "time", "first entry of the stay", always=True),
    Meaning("end", "time", "last entry of the stay", always=True),
    Meaning("hours", "number", "from start to end", "h", least=0.0, always=True),
    Meaning("nights", "whole number", "nights told of", least=0.0, always=True),
    Meaning("loads", "whole number", "loads laid in", least=0.0, always=True),
    Meaning("wood_kg", "number", "their mass together, as weighed", "kg", least=0.0, always=True),
    Meaning("indoor_readings", "whole number", "readings of the main thermometer", least=0.0, always=True),
    Meaning("indoor_lowest_c", "number", "the lowest of them", "°C"),
    Meaning("indoor_highest_c", "number", "the highest of them", "°C"),
    Meaning("outdoor_lowest_c", "number", "lowest reading outside", "°C"),
    Meaning("outdoor_highest_c", "number", "highest reading outside", "°C"),
)

OUT: tuple[Meaning, ...] = tuple(
    each for one in ENTRY for each in ((one, CLOSED) if one.name == "air_open_pct" else (one,))
)

DICTIONARY: tuple[Meaning, ...] = (
    Meaning("file", "text", "the file, part of events.jsonl or table of the log file", always=True),
    Meaning("name", "text", "the column or key", always=True),
    Meaning("kind", "text", "text, number, whole number, yes or no, time, day, list, JSON", always=True),
    Meaning("unit", "text", "unit of numbers"),
    Meaning("meaning", "text", "what it says", always=True),
    Meaning("least", "number", "smallest value taken"),
    Meaning("most", "number", "largest value taken"),
    Meaning("words", "text", "the words it may be, parted by commas"),
    Meaning("always", "yes or no", "never left out", always=True),
)

TABLES: Mapping[str, tuple[Meaning, ...]] = {
    "notebook.csv": OUT,
    "logger.csv": OUT,
    "history.csv": (
        *(
            _ABOUT[name]
            for name in (
                *("uuid", "device", "counter", "act", "supersedes", "batch"),
                *("written_at", "how", "at_typed", "zone", "line"),
            )
        ),
        *(replace(one, always=False) for one in OUT),
        _HISTORY_TYPED,
    ),
    "nights.csv": NIGHTS,
    "stays.csv": STAYS,
    "dictionary.csv": DICTIONARY,
}
"""The tables of an export, each with its columns in order."""

PARTS: Mapping[str, tuple[Meaning, ...]] = {
    "events.jsonl: first line": HEADER,
    "events.jsonl: event": LINE,
    "events.jsonl: entry": ENTRY,
    "events.jsonl: typed": TYPED,
    "events.jsonl: description": DESCRIPTION,
    "events.jsonl: setting": SETTING,
}
"""The parts of events.jsonl, each with its keys."""

_KEY = Meaning("id", "whole number", "key within this file only; other files have other keys", always=True)
_OF_EVENT = Meaning("event", "whole number", "id of the event", always=True)

LOG_TABLES: Mapping[str, tuple[Meaning, ...]] = {
    "log file: event": (
        _KEY,
        *(
            replace(one, kind="whole number", meaning=f"id in the table {one.name}: {one.meaning}")
            if one.name in ("device", "batch")
            else one
            for one in EVENT
        ),
        replace(DIGEST, kind="bytes", meaning="BLAKE2b of 16 bytes over all the event says"),
    ),
    "log file: entry": (_OF_EVENT, *ENTRY),
    "log file: typed": (_OF_EVENT, *(replace(one, always=True) for one in TYPED)),
    "log file: description": (_OF_EVENT, *DESCRIPTION),
    "log file: setting": (_OF_EVENT, *SETTING),
    "log file: device": (_KEY, Meaning("uuid", "text", "identifier of a machine that wrote", always=True)),
    "log file: batch": (_KEY, Meaning("uuid", "text", "identifier of an act", always=True)),
    "log file: about": (
        Meaning("name", "text", "a view of the log file; empty: the file itself", always=True),
        Meaning("column", "text", "a column of the view; empty: the view itself", always=True),
        Meaning("says", "text", "what it says, in a sentence", always=True),
    ),
    "log file: info": (
        Meaning("name", "text", "what is kept of this file alone, such as a half-typed line", always=True),
        Meaning("value", "text", "what is kept; never merged or exported", always=True),
    ),
}
"""The tables of the log file itself, a SQLite database: its words are the same."""
