"""The five practice notebooks come in whole, once, and go out and in again unchanged."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from logbook.description import parse_description
from logbook.records import Description
from logbook.setting import setting_of
from logbook.store.importing import ImportReport, import_table
from logbook.store.log import Log
from logbook.store.tables_out import table_of

PRACTICE = Path(__file__).parent.parent / "practice"
CABINS = ("alder", "cedar", "hazel", "rowan", "tamarack")
NOW = datetime(2026, 11, 1, tzinfo=UTC)


def described(cabin: str) -> Description:
    return parse_description((PRACTICE / cabin / "description.toml").read_text(), machine_zone="UTC")


def bring(log: Log, cabin: str, name: str) -> ImportReport:
    setting = setting_of(described(cabin))
    return import_table(log, (PRACTICE / cabin / name).read_bytes(), setting=setting, now=NOW)


def rows_of(cabin: str, name: str) -> list[dict[str, str]]:
    with (PRACTICE / cabin / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("name", ["notebook.csv", "notebook_sparse.csv", "minmax.csv"])
@pytest.mark.parametrize("cabin", CABINS)
def test_a_practice_notebook_comes_in_whole_and_only_once(log: Log, cabin: str, name: str) -> None:
    rows = rows_of(cabin, name)
    report = bring(log, cabin, name)
    assert report.refused == ()
    assert report.remarks == ()
    assert (report.read, report.added, report.by_logger) == (len(rows), len(rows), 0)
    again = bring(log, cabin, name)
    assert (again.added, again.duplicates) == (0, len(rows))
    assert len(log.entries()) == len(rows)


@pytest.mark.parametrize("cabin", CABINS)
def test_every_cell_of_a_notebook_is_in_the_log_in_the_order_written(log: Log, cabin: str) -> None:
    # Read a second time by the standard library's reader, value by value.
    bring(log, cabin, "notebook.csv")
    for entry, row in zip(log.entries(), rows_of(cabin, "notebook.csv"), strict=True):
        for column in ("indoor_c", "outdoor_c", "load_kg", "moisture_pct", "air_open_pct"):
            assert getattr(entry, column) == (float(row[column]) if row[column] else None), (row, column)
        for column in ("mark", "window", "coals", "moisture_basis"):
            assert getattr(entry, column) == (row[column] or None), (row, column)
        assert entry.kindling == (row["note"] == "kindling")
        assert entry.note == (None if row["note"] in ("", "kindling") else row["note"])


def test_a_notebooks_local_times_are_the_sites(log: Log) -> None:
    # alder: zone Etc/GMT+5, that is five hours behind UTC (IANA's sign is the other way round).
    bring(log, "alder", "notebook.csv")
    assert log.entries()[0].at == datetime(2025, 10, 18, 20, 35, tzinfo=UTC)


@pytest.mark.parametrize("cabin", CABINS)
def test_a_notebook_goes_out_and_comes_in_again_unchanged(opened: Callable[..., Log], cabin: str) -> None:
    log, other = opened("one.db"), opened("other.db")
    bring(log, cabin, "notebook.csv")
    bring(log, cabin, "minmax.csv")
    text = table_of(log.entries(), zone=described(cabin).site.timezone)
    import_table(other, text.encode(), setting=setting_of(described(cabin)), now=NOW)
    assert other.entries() == log.entries()
