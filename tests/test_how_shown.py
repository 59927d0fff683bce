"""The table of what owners ask for names tests that exist: what is shown by nothing must not stand there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parent
DEVELOPERS = TESTS.parent / "DEVELOPERS.md"
HEADING = "## How each thing owners ask for is shown"

_NAMED = re.compile(r"`([\w/]+[.]py)::(test_\w+)`")


def rows_in(text: str) -> list[tuple[str, str]]:
    """What is asked for and how it is shown, row by row."""
    section = text.partition(HEADING)[2].partition("\n## ")[0]
    cells = [line.strip("|").split("|") for line in section.splitlines() if line.startswith("| ")]
    return [(asked.strip(), shown.strip()) for asked, shown in cells[1:]]


def missing(shown: str, tests: Path) -> list[str]:
    """The tests named that are not there; "nothing" where none is named."""
    named = _NAMED.findall(shown)
    if not named:
        return ["nothing"]
    return [f"{file}::{name}" for file, name in named if name not in _functions(tests / file)]


def _functions(path: Path) -> set[str]:
    if not path.is_file():
        return set()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {n.name for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)}


@pytest.mark.parametrize(("asked", "shown"), rows_in(DEVELOPERS.read_text(encoding="utf-8")))
def test_every_row_names_tests_that_exist(asked: str, shown: str) -> None:
    assert missing(shown, TESTS) == [], asked


def test_the_table_is_whole() -> None:
    rows = rows_in(DEVELOPERS.read_text(encoding="utf-8"))
    assert len(rows) >= 40  # ten acceptance points and some thirty capabilities
    assert len({asked for asked, _ in rows}) == len(rows)


def test_a_row_shown_by_nothing_is_seen(tmp_path: Path) -> None:
    (tmp_path / "test_a.py").write_text("def test_there() -> None: ...\n", encoding="utf-8")
    text = f"{HEADING}\n| asked | by |\n|---|---|\n| one | `test_a.py::test_there` |\n| two | by hand |\n"
    (one, two) = rows_in(text)
    assert missing(one[1], tmp_path) == []
    assert missing(two[1], tmp_path) == ["nothing"]
    gone = "`test_a.py::test_gone`, `test_b.py::test_there`"
    assert missing(gone, tmp_path) == ["test_a.py::test_gone", "test_b.py::test_there"]
