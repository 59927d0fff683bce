"""The dictionary of an export as files: one to read, one to load, and a schema for programs."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Iterator
from io import StringIO
from typing import Any

from logbook.store.dictionary import DICTIONARY, HEADER, LOG_TABLES, PARTS, TABLES, Meaning
from logbook.store.dictionary_matters import MATTERS
from logbook.store.events_out import FORMAT

SCHEMA_FILE = "events.schema.json"

_ABOUT = """# What the files of this folder say

`nightload export DIR` wrote them; they belong to whoever kept the log. Temperatures °C, masses kg, times with
their offset from UTC. An empty cell or a key left out means: not said. Numbers are as they were kept, never
rounded.

| file | what it holds |
|---|---|
| `events.jsonl` | the whole log, one event a line: `nightload import DIR` makes an equal log of it |
| `notebook.csv` | what people wrote and what holds of it, in the order written; comes in again as a table |
| `logger.csv` | the same of logging thermometers, where there is one |
| `history.csv` | every event, what was edited, removed and taken back too |
| `nights.csv`, `stays.csv` | made of them: a row for each night and stay; by a logger's newest 200,000 rows |
| `description.toml` | cabin and stove as described last |
| `DICTIONARY.md`, `dictionary.csv`, `events.schema.json` | this page, to read and for programs |

Tables are UTF-8 with commas and a line of names. A text that a spreadsheet would take for a formula has an
apostrophe before it; reading the table in again takes it off. `events.jsonl` has every text exactly. In it
times are UTC to the microsecond.

What holds now: an entry holds unless its batch was taken back (`undo` without a later `redo`), or an `edit`
or `remove` of the same `root` that was not taken back has a higher (counter, device, uuid).

Any SQLite tool opens the log itself; its tables stand at the end. Its views, with plain names and units, are
told of in its table `about`.
"""

_TYPES: dict[str, dict[str, Any]] = {
    "text": {"type": "string"},
    "number": {"type": "number"},
    "whole number": {"type": "integer"},
    "yes or no": {"type": "boolean"},
    "time": {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{6}Z$"},
    "day": {"type": "string", "format": "date"},
    "list": {"type": "array"},
}


def dictionary_files() -> dict[str, str]:
    """Text by file name."""
    return {
        "DICTIONARY.md": dictionary_page(),
        "dictionary.csv": dictionary_table(),
        SCHEMA_FILE: schema_text(),
    }


def sections() -> Iterator[tuple[str, tuple[Meaning, ...]]]:
    """Every file, part of a line and table of the log file, with its columns or keys."""
    yield from TABLES.items()
    yield from PARTS.items()
    for kind, meanings in MATTERS.items():
        yield f"events.jsonl: matter {kind}", (_kind(kind), *meanings)
    yield from LOG_TABLES.items()


def dictionary_page() -> str:
    """DICTIONARY.md."""
    rows = [_ABOUT]
    for title, meanings in sections():
        rows += [f"\n## {title}\n", "| name | kind | unit | meaning |", "|---|---|---|---|"]
        rows += [f"| `{m.name}` | {m.kind} | {m.unit} | {_sentence(m)} |" for m in meanings]
    return "\n".join(rows) + "\n"


def dictionary_table() -> str:
    """dictionary.csv."""
    text = StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([column.name for column in DICTIONARY])
    for title, meanings in sections():
        writer.writerows(_row(title, m) for m in meanings)
    return text.getvalue()


def schema_text() -> str:
    """A JSON schema (draft 2020-12) of one line of events.jsonl, the first one too."""
    entry = _object(PARTS["events.jsonl: entry"])
    entry["properties"]["matter"] = {"oneOf": [_matter(kind, meanings) for kind, meanings in MATTERS.items()]}
    entry["properties"]["flags"]["items"] = {"type": "string"}
    event = _object(PARTS["events.jsonl: event"])
    event["properties"] |= {
        "entry": entry,
        "typed": {"type": "array", "items": _object(PARTS["events.jsonl: typed"])},
        "description": _object(PARTS["events.jsonl: description"]),
        "setting": _object(PARTS["events.jsonl: setting"]),
    }
    header = _object(HEADER)
    header["properties"]["format"] = {"const": FORMAT}
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A line of events.jsonl",
        "oneOf": [header, event],
    }
    return json.dumps(schema, ensure_ascii=False, indent=1) + "\n"


def _kind(name: str) -> Meaning:
    return Meaning("kind", "text", "which kind of matter it is", words=(name,), always=True)


def _matter(kind: str, meanings: Iterable[Meaning]) -> dict[str, Any]:
    said = _object((_kind(kind), *meanings))
    said["properties"]["kind"] = {"const": kind}
    return said


def _object(meanings: Iterable[Meaning]) -> dict[str, Any]:
    held = tuple(meanings)
    return {
        "type": "object",
        "properties": {m.name: _property(m) for m in held},
        "required": [m.name for m in held if m.always],
        "additionalProperties": False,
    }


def _property(m: Meaning) -> dict[str, Any]:
    said = {**_TYPES.get(m.kind, {}), "description": f"{m.meaning}{f', {m.unit}' if m.unit else ''}"}
    if m.words and m.kind == "text":
        said["enum"] = list(m.words)
    return said


def _sentence(m: Meaning) -> str:
    parts = [m.meaning]
    if m.words:
        parts.append("one of: " + ", ".join(m.words))
    if m.least is not None or m.most is not None:
        parts.append(_limits(m))
    if m.always:
        parts.append("never left out")
    return "; ".join(parts)


def _limits(m: Meaning) -> str:
    if m.most is None:
        return f"at least {m.least:g}"
    return f"at most {m.most:g}" if m.least is None else f"from {m.least:g} to {m.most:g}"


def _row(title: str, m: Meaning) -> list[str]:
    ends = ["" if end is None else f"{end:g}" for end in (m.least, m.most)]
    return [title, m.name, m.kind, m.unit, m.meaning, *ends, ",".join(m.words), "yes" if m.always else ""]
