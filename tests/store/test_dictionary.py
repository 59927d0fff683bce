"""The dictionary in an export has a row for every column and key there is, and none for what there is not."""

from __future__ import annotations

import csv
import json
import sys
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import MISSING, fields
from pathlib import Path

import pytest
from log_lines import START

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "scripts"))

from benching.random_logs import write_random  # noqa: E402

from logbook.actions.summaries import NIGHT_COLUMNS, STAY_COLUMNS  # noqa: E402
from logbook.matters import KINDS  # noqa: E402
from logbook.records import Entry, Flag, How, NewEvent  # noqa: E402
from logbook.store.dictionary import LOG_TABLES, PARTS, TABLES  # noqa: E402
from logbook.store.dictionary_matters import MATTERS  # noqa: E402
from logbook.store.dictionary_out import schema_text, sections  # noqa: E402
from logbook.store.log import Log, open_log  # noqa: E402
from logbook.store.rows import ENTRY_COLUMNS  # noqa: E402
from logbook.store.tables_out import export_log  # noqa: E402


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("exported")
    write_random(folder / "one.db", seed=2, acts=150)
    with open_log(folder / "one.db") as log:
        log.add([NewEvent(entry=Entry(at=START, indoor_c=4.0), how=How.LOGGER)])
        export_log(log, folder / "out", zone="Europe/Oslo")
    return folder / "out"


def header(path: Path) -> list[str]:
    with path.open(newline="", encoding="utf-8") as file:
        return next(csv.reader(file))


@pytest.mark.parametrize("name", ["notebook.csv", "logger.csv", "history.csv", "dictionary.csv"])
def test_a_tables_columns_are_those_of_the_dictionary_in_order(out: Path, name: str) -> None:
    assert header(out / name) == [meaning.name for meaning in TABLES[name]]


def test_the_tables_made_by_summaries_too() -> None:
    assert [meaning.name for meaning in TABLES["nights.csv"]] == list(NIGHT_COLUMNS)
    assert [meaning.name for meaning in TABLES["stays.csv"]] == ["start", "end", "hours", *STAY_COLUMNS]


def keys_seen(out: Path) -> Iterator[tuple[str, set[str]]]:
    """Part of a line and the keys it has."""
    first, *lines = (out / "events.jsonl").read_text(encoding="utf-8").split("\n")[:-1]
    yield "events.jsonl: first line", set(json.loads(first))
    for line in map(json.loads, lines):
        yield "events.jsonl: event", set(line)
        for part in ("entry", "description", "setting"):
            if part in line:
                yield f"events.jsonl: {part}", set(line[part])
        for typed in line.get("typed", ()):
            yield "events.jsonl: typed", set(typed)
        if "matter" in line.get("entry", {}):
            matter = line["entry"]["matter"]
            yield f"events.jsonl: matter {matter['kind']}", set(matter)


def test_every_key_written_has_a_row_and_every_row_is_of_a_key_that_is_written(out: Path) -> None:
    known = {title: {meaning.name: meaning for meaning in meanings} for title, meanings in sections()}
    seen: dict[str, set[str]] = {}
    for part, keys in keys_seen(out):
        assert keys <= known[part].keys(), part
        assert {name for name, meaning in known[part].items() if meaning.always} <= keys, part
        seen.setdefault(part, set()).update(keys)
    for part in PARTS:
        never = {"position"}  # only in a log whose places were changed by another program
        assert seen[part] == known[part].keys() - never, part


def test_the_entrys_rows_are_the_entrys_fields() -> None:
    assert [meaning.name for meaning in PARTS["events.jsonl: entry"]] == list(ENTRY_COLUMNS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_matters_rows_are_its_fields(kind: str) -> None:
    held = fields(KINDS[kind])
    assert [meaning.name for meaning in MATTERS[kind]] == [field.name for field in held]
    without_default = [field.name for field in held if field.default is MISSING]
    assert [meaning.name for meaning in MATTERS[kind] if meaning.always] == without_default


def test_the_log_files_tables_have_a_row_for_every_column(log: Log) -> None:
    db = log.connection
    ours = {f"log file: {name}" for (name,) in db.execute(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        " AND name NOT LIKE '\\_sqlite\\_%' ESCAPE '\\'")}  # fmt: skip
    assert ours == set(LOG_TABLES)
    for title, meanings in LOG_TABLES.items():
        columns = {row[1] for row in db.execute(f"PRAGMA table_info({title.removeprefix('log file: ')})")}
        assert columns == {meaning.name for meaning in meanings}, title


def test_numbers_have_a_unit_or_are_plain_and_every_row_says_something() -> None:
    for title, meanings in sections():
        for meaning in meanings:
            assert meaning.meaning, (title, meaning.name)
            if meaning.name.endswith(("_c", "_kg", "_pct", "_w", "_m3", "_mm")):
                assert meaning.unit, (title, meaning.name)


def test_the_page_and_the_table_hold_every_row(out: Path) -> None:
    page = (out / "DICTIONARY.md").read_text(encoding="utf-8")
    with (out / "dictionary.csv").open(newline="", encoding="utf-8") as file:
        rows = [(row["file"], row["name"]) for row in csv.DictReader(file)]
    wanted = [(title, meaning.name) for title, meanings in sections() for meaning in meanings]
    assert rows == wanted
    for title, name in wanted:
        assert f"| `{name}` |" in page.split(f"## {title}\n")[1].split("\n## ")[0]
    for path in out.iterdir():
        assert f"`{path.name}`" in page, f"what {path.name} is, is not said"


def fits(schema: dict[str, object], value: object) -> bool:
    """Whether a value fits a schema of the few words ours uses (JSON Schema 2020-12)."""
    if "oneOf" in schema:
        return sum(fits(one, value) for one in schema["oneOf"]) == 1  # type: ignore[attr-defined]
    if "const" in schema:
        return value == schema["const"]
    kinds = {
        "string": str,
        "number": (int, float),
        "integer": int,
        "boolean": bool,
        "array": list,
        "object": dict,
    }
    kind = str(schema["type"])
    if not isinstance(value, kinds[kind]) or (isinstance(value, bool) and kind != "boolean"):  # type: ignore[arg-type]
        return False
    if "enum" in schema and value not in schema["enum"]:  # type: ignore[operator]
        return False
    if isinstance(value, list) and "items" in schema:
        return all(fits(schema["items"], one) for one in value)  # type: ignore[arg-type]
    if isinstance(value, dict):
        properties: dict[str, dict[str, object]] = schema["properties"]  # type: ignore[assignment]
        if not set(schema["required"]) <= value.keys() or not value.keys() <= properties.keys():  # type: ignore[call-overload]
            return False
        return all(fits(properties[name], one) for name, one in value.items())
    return True


def test_every_line_fits_the_schema_and_a_wrong_one_does_not(out: Path) -> None:
    schema = json.loads((out / "events.schema.json").read_text(encoding="utf-8"))
    assert schema == json.loads(schema_text())
    lines = [json.loads(line) for line in (out / "events.jsonl").read_text(encoding="utf-8").split("\n")[:-1]]
    for line in lines:
        assert fits(schema, line), line
    entry = next(line for line in lines if "entry" in line)
    assert not fits(schema, {**entry, "act": "forget"})
    assert not fits(schema, {**entry, "entry": {**entry["entry"], "indoor_c": "warm"}})
    assert not fits(schema, {name: value for name, value in entry.items() if name != "uuid"})


def test_pandas_and_csv_read_the_right_numbers_with_units_in_the_names(
    opened: Callable[..., Log], tmp_path: Path
) -> None:
    import pandas as pd  # noqa: PLC0415 - heavy

    log = opened()
    rows = [
        Entry(
            at=START, indoor_c=16.25, outdoor_c=-7.5, load_kg=4.2, air_open_pct=25.0, note="=1+1, said she"
        ),
        Entry(at=START, indoor_c=0.1 + 0.2, rh_pct=55.0, other_heat_w=1500.0, pieces="-2 medium"),
    ]
    log.add([NewEvent(entry=entry) for entry in rows])
    logger = Entry(at=START, indoor_c=12.0625, flags=frozenset({Flag.LOGGER}))
    log.add([NewEvent(entry=logger, how=How.LOGGER)])
    export_log(log, tmp_path, zone="Europe/Oslo")
    table = pd.read_csv(tmp_path / "notebook.csv")
    with (tmp_path / "notebook.csv").open(newline="", encoding="utf-8") as file:
        plain = list(csv.DictReader(file))
    for name in ("indoor_c", "outdoor_c", "load_kg", "air_open_pct", "rh_pct", "other_heat_w"):
        wanted = [getattr(entry, name) for entry in rows]
        read = [None if pd.isna(value) else float(value) for value in table[name]]
        assert read == [value if value is None else pytest.approx(value, rel=1e-15) for value in wanted]
        assert [float(row[name]) if row[name] else None for row in plain] == wanted
    assert table["air_closed_pct"].tolist()[:1] == [75.0]
    assert pd.to_datetime(table["at"], utc=True)[0] == START
    assert pd.read_csv(tmp_path / "logger.csv")["indoor_c"].tolist() == [12.0625]
    lines = pd.read_json(tmp_path / "events.jsonl", lines=True)
    assert lines["entry"].dropna().tolist()[0]["indoor_c"] == 16.25
    assert plain[0]["note"] == "'=1+1, said she", "no spreadsheet runs it"
    assert plain[1]["pieces"] == "'-2 medium"


def test_the_description_is_toml(opened: Callable[..., Log], tmp_path: Path) -> None:
    from benching.random_logs import Dice  # noqa: PLC0415 - as above

    log = opened()
    log.add_description(Dice(1).description())
    export_log(log, tmp_path, zone="UTC")
    assert "stove" in tomllib.loads((tmp_path / "description.toml").read_text(encoding="utf-8"))
