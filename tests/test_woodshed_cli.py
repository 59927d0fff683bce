"""The command about the wood shed, from a typed line to JSON and to a page of 80 columns."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from small_cabin import AS_OF, cabin

from logbook.actions.house import house_of
from logbook.actions.reckoning import known
from logbook.actions.woodshed import has_wood, kind_of, weekend_by_heat_loss, wood
from logbook.cli import main
from logbook.matters import Stack, StackCount, StackMoisture
from logbook.records import Basis, Entry, NewEvent
from logbook.store.log import open_log

__all__ = ["cabin"]

MAY = datetime(2025, 5, 4, 10, tzinfo=UTC)
BIRCH = Stack(
    name="birch", species="birch", volume_m3=2.0, as_said="2 stere", split_on=MAY.date(), where="north wall"
)


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """Two short stays in January, 18.8 kg of wood laid in by then."""
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def write(folder: Path, *rows: tuple[datetime, object]) -> None:
    with open_log(folder / "log.db", now=lambda: MAY) as log:
        log.add([NewEvent(entry=Entry(at=at, matter=matter)) for at, matter in rows])


def answered(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> dict:
    assert run(folder, "wood", "--as-of", AS_OF, "--json", *words) == 0
    return json.loads(capsys.readouterr().out)


def test_without_a_stack_it_says_how_to_write_one(log, capsys):
    assert run(log, "wood", "--as-of", AS_OF) == 0
    assert "stack birch 0.9 stere split may 2025" in capsys.readouterr().out
    assert answered(log, capsys)["items"] == []


def test_without_a_log_it_is_refused_with_what_to_do(cabin, capsys):
    assert run(cabin, "wood") == 1
    assert "nightload setup" in capsys.readouterr().err


def test_a_time_that_is_none_is_bad_input(log, capsys):
    assert run(log, "wood", "--as-of", "yesterday evening") == 2
    assert "is not a time" in capsys.readouterr().err


def test_a_stack_s_item_has_the_contract_s_keys(log, capsys):
    write(log, (MAY, BIRCH))
    found = answered(log, capsys)
    (item,) = found["items"]
    assert item["name"] == item["species"] == "birch"
    for key in ("left_kg", "left_kg_dry", "left_m3", "moisture_pct", "heat_mj"):
        told = item[key]
        assert told["p05"] <= told["p50"] <= told["p95"], key
    assert item["put_up"] == "2025-05-04T11:00:00+01:00"
    assert item["split_on"] == "2025-05-04"
    assert item["moisture_basis"] == "wet"
    assert item["ready"]["on"]["p05"] < item["ready"]["on"]["p50"] < item["ready"]["on"]["p95"]
    assert item["last_counted"] is None
    assert item["burned_more_than_there"] is None
    assert item["burned_kg"] == pytest.approx(18.8)  # the eight loads of the two stays, as weighed
    assert item["sentence"].startswith("birch: ")


def test_dry_mass_is_what_was_put_up_less_what_was_burned(log, capsys):
    """2 steres of birch at 0.65; 18.8 kg at 18 % of the wet wood is 15.42 kg dry."""
    write(log, (MAY, BIRCH))
    (item,) = answered(log, capsys)["items"]
    put_up = 2 * 0.65 * kind_of("birch").basic_density_kg_per_m3
    assert item["left_kg_dry"]["p50"] == pytest.approx(put_up - 0.82 * 18.8, rel=1e-4)


def test_later_records_do_not_exist_yet(log, capsys):
    count = StackCount(name="birch", volume_m3=0.5, as_said="0.5 stere")
    write(log, (MAY, BIRCH), (datetime(2026, 1, 30, tzinfo=UTC), count))
    (item,) = answered(log, capsys)["items"]
    assert item["last_counted"] is None
    assert run(log, "wood", "--as-of", "2026-02-01T12:00", "--json", "--quick") == 0
    (later,) = json.loads(capsys.readouterr().out)["items"]
    assert later["last_counted"]["agrees"] is False
    assert later["left_m3"]["p50"] == 0.5


def test_the_learned_cabin_tells_a_weekend_s_wood_unless_it_shall_be_quick(log, capsys):
    write(log, (MAY, BIRCH))
    use = answered(log, capsys)["use"]
    assert use["from"] == "heat loss"  # two stays are too few to go by
    told = use["kg_per_weekend_by_heat_loss"]
    assert 0.0 < told["p05"] < told["p50"] < told["p95"]
    quick = answered(log, capsys, "--quick")["use"]
    assert quick["from"] == "own stays"
    assert quick["kg_per_weekend_by_heat_loss"] is None


def test_the_heat_loss_is_asked_at_the_temperature_of_the_cold_months_ahead(log):
    with open_log(log / "log.db", now=lambda: MAY) as held:
        at = datetime(2026, 1, 16, 20, 40, tzinfo=UTC)
        house, told = house_of(held, as_of=at), known(held, as_of=at)
    assert not has_wood(house)
    found = weekend_by_heat_loss(told, house)
    assert 3.0 < found.p50 < 200.0  # a small cabin's 48 h; a slip of a unit would leave this


def test_an_empty_log_without_a_description_is_answered(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    with open_log(tmp_path / "log.db", create=True, now=lambda: MAY) as log:
        log.add([NewEvent(entry=Entry(at=MAY, matter=BIRCH))])
    assert main(["--log", str(tmp_path / "log.db"), "wood", "--as-of", "2026-01-16", "--json"]) == 0
    (item,) = json.loads(capsys.readouterr().out)["items"]
    assert item["left_m3"]["p50"] == 2.0


def test_the_page_fits_80_columns(log, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    meter = StackMoisture(name="birch", readings_pct=(17.0, 250.0), basis=Basis.DRY, fresh_face=None)
    write(
        log,
        (MAY, BIRCH),
        (MAY + timedelta(days=90), meter),
        (MAY + timedelta(days=91), StackCount(name="birch", volume_m3=0.02, as_said="0.02 stere")),
    )
    assert run(log, "wood", "--as-of", AS_OF, "--quick") == 0
    page = capsys.readouterr().out
    assert all(len(row) <= 80 for row in page.splitlines())
    said = " ".join(page.split())
    assert "1 of them can't be, and is left out." in said
    assert "More was burned than was there: 19 kg written since Sun 3 Aug 2025" in said
    assert "Nothing is lost; count what is left: count birch 0.2 stere" in said


def test_a_line_typed_is_a_stack_in_the_shed(log, capsys):
    assert run(log, "note", "4 may 2025 12:00 stack birch 0.9 stere split may 2025 at north wall") == 0
    assert run(log, "note", "2 jan 2026 12:00 count birch 0.4 stere") == 0
    assert run(log, "note", "2 jan 2026 12:05 meter birch 17 19 21% dry fresh") == 0
    capsys.readouterr()
    (item,) = answered(log, capsys, "--quick")["items"]
    assert item["last_counted"]["counted_m3"] == 0.4
    assert item["last_counted"]["reckoned_m3"]["p50"] == pytest.approx(0.9)
    assert item["meter"]["readings_pct"] == [17.0, 19.0, 21.0]
    assert item["moisture_from"] == "meter, fresh face"
    assert 15.0 < item["moisture_pct"]["p50"] < 16.5  # 19 % of the dry wood is 16.0 % of the wet
    assert item["left_m3"]["p50"] < 0.4


@pytest.mark.parametrize(
    ("text", "softwood", "known"),
    [
        ("birch", False, True),
        ("spruce", True, True),
        ("mixed", None, False),
        ("hardwood", False, False),
        ("softwood", True, False),
        ("left pile", None, False),
        ("birch north wall", False, True),
    ],
)
def test_what_kind_of_wood_the_words_name(text, softwood, known):
    found = kind_of(text)
    assert (found.softwood, found.known) == (softwood, known)


def test_two_runs_give_the_same_answer(log):
    write(log, (MAY, BIRCH))
    with open_log(log / "log.db", now=lambda: MAY) as held:
        house = house_of(held, as_of=datetime(2026, 1, 16, 20, 40, tzinfo=UTC))
    assert has_wood(house)
    assert wood(house) == wood(house)
