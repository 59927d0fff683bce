"""A sight typed and said to be gone, as every command tells it: no two of them may differ."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from logbook.cli import main


@pytest.fixture
def log(tmp_path: Path) -> str:
    return str(tmp_path / "log.db")


def noted(log: str, *lines: str, capsys: pytest.CaptureFixture[str]) -> None:
    for line in lines:
        assert main(["--log", log, "note", line]) == 0
    capsys.readouterr()


def answered(log: str, words: str, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    assert main(["--log", log, *words.split(), "--json"]) == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


GONE = [
    ("mould behind bed", "mould gone"),
    ("mould behind bed", "mould behind bed gone"),
    ("mold behind bed", "mold gone"),
    ("sweating north wall", "condensation gone"),
    ("condensation north wall", "condensation gone from north wall"),
    ("leak", "leak mended"),
    ("leak at flashing", "leak at flashing fixed"),
]


@pytest.mark.parametrize(("seen", "gone"), GONE)
def test_what_is_typed_as_gone_is_gone(
    log: str, seen: str, gone: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each line as an owner would write it, with the hint "not said to be gone" before their eyes."""
    noted(log, seen, capsys=capsys)
    assert answered(log, "damp", capsys)["seen"]
    noted(log, gone, capsys=capsys)
    assert answered(log, "damp", capsys)["seen"] == []


def test_the_record_to_print_tells_what_is_gone(log: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A nest cleared the same day stood there for the insurer as seen, and never as gone."""
    noted(log, "nest in cap", "droppings in drawer", "nest gone", "mould gone", capsys=capsys)
    assert main(["--log", log, "due", "--record", "--json"]) == 0
    rows = [
        (row["kind"], row["what"], row["finding"]) for row in json.loads(capsys.readouterr().out)["items"]
    ]
    assert rows == [("seen", "nest", "cap"), ("seen", "droppings", "drawer"), ("gone", "nest", "cap")]
    assert main(["--log", log, "due", "--record"]) == 0
    assert "nest: said to be gone" in capsys.readouterr().out
    assert main(["--log", log, "sheet", "upkeep"]) == 0
    assert "nest (gone)" in " ".join(capsys.readouterr().out.split())


def test_a_leak_mended_by_its_task_is_gone_in_both(log: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With the roof done upkeep was content, damp went on; a look alone mends nothing, nor mould."""
    noted(
        log,
        "2026-01-10 10:00 leak at flashing",
        "2026-01-10 10:01 mould behind bed",
        "2026-01-11 10:00 looked at roof",
        capsys=capsys,
    )
    assert _calls(log, capsys) == ["leak"]
    assert _sights(log, capsys) == {"leak", "mould"}
    noted(log, "2026-01-12 10:00 did roof", capsys=capsys)
    assert _calls(log, capsys) == []
    assert _sights(log, capsys) == {"mould"}
    noted(log, "2026-01-13 10:00 leak at flashing", capsys=capsys)
    assert _calls(log, capsys) == ["leak"]
    assert _sights(log, capsys) == {"leak", "mould"}


def _calls(log: str, capsys: pytest.CaptureFixture[str]) -> list[str]:
    items = answered(log, "due", capsys)["items"]
    return [call["what"] for item in items if item["task"] == "roof" for call in item["called_for"]]  # type: ignore[attr-defined]


def _sights(log: str, capsys: pytest.CaptureFixture[str]) -> set[str]:
    return {row["sight"] for row in answered(log, "damp", capsys)["seen"]}  # type: ignore[attr-defined]


def test_of_two_places_the_other_one_stands(log: str, capsys: pytest.CaptureFixture[str]) -> None:
    noted(log, "mould behind bed", "mould at door", "mould at door gone", capsys=capsys)
    (row,) = answered(log, "damp", capsys)["seen"]  # type: ignore[misc]
    assert row["place"] == "behind bed"


def test_a_nest_in_the_cap_stands_in_both_when_another_is_gone(
    log: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The list once forgot it: "No fire" was not said at the door, while upkeep still said it."""
    noted(log, "nest in cap", "nest in gutter", "nest in gutter gone", capsys=capsys)
    due = answered(log, "due", capsys)["items"]
    arriving = answered(log, "list arriving", capsys)["conditions"]
    assert any(item["task"] == "cap" and item["state"] == "now" for item in due)  # type: ignore[attr-defined]
    assert "nest" in arriving  # type: ignore[operator]
