"""Placeholders in SQL have no numbers: with a sequence Python 3.14 refuses "?1"; 3.12 and 3.13 warn."""

from __future__ import annotations

import ast
import re
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2] / "logbook"
NUMBERED = re.compile(r"(?:=|<>|<|>|<=|>=|BETWEEN|AND|LIMIT|OFFSET|VALUES \(|,)\s*\?\d")


def texts(path: Path) -> list[str]:
    nodes = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    return [node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)]


def test_no_statement_numbers_them() -> None:
    found = [
        (path.name, text) for path in PACKAGE.rglob("*.py") for text in texts(path) if NUMBERED.search(text)
    ]
    assert found == []
    assert NUMBERED.search("WHERE b.uuid <> ?1 ORDER BY u.uuid"), "it would be found"
    assert NUMBERED.search("at BETWEEN ?2 AND ?1)")
