"""What is changed when the tests are judged: each change alone, and never what no test could notice."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

import pytest

SCRIPTS = Path(__file__).resolve().parent.parent / "scripts"


@pytest.fixture(scope="module")
def mutating():
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("mutating")
    finally:
        sys.path.remove(str(SCRIPTS))


@pytest.fixture(scope="module")
def mutants():
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("mutants")
    finally:
        sys.path.remove(str(SCRIPTS))


@pytest.mark.parametrize(
    ("source", "changes"),
    [
        ("a = b < c", {"a = b <= c", "a = b >= c"}),
        ("a = b and c", {"a = b or c"}),
        ("a = b and c and d", {"a = b or c or d", "a = c and d", "a = b and d", "a = b and c"}),
        ("a = b - c", {"a = b + c"}),
        ("a = not b", {"a = b"}),
        ("a = 2", {"a = 3"}),
        ("a = 28.0", {"a = 30.8"}),
        ("a = 'dry'", {"a = 'XXdryXX'"}),
        ("a = lambda f: f.burns", {"a = lambda f: not f.burns"}),
        ("a = b(c, d=e)", {"a = b(c)"}),
        ("a = [b for b in c if d]", {"a = [b for b in c]"}),
        ("a = b if c else d", {"a = d if c else b"}),
        ("b(c)", {"pass"}),
        ("a += b", {"pass", "a -= b"}),
        ("if a:\n    b = c", {"if not a:\n    b = c"}),
        ("def f():\n    return a", {"def f():\n    return None"}),
    ],
)
def test_one_thing_is_changed_at_a_time(mutating, source, changes):
    assert {mutant.source for mutant in mutating.mutants_of("a.py", source)} == changes


@pytest.mark.parametrize(
    "source",
    [
        "'''What it does.'''",
        "a = 'Coals give carbon monoxide.'",  # a sentence: what is said is looked at by people
        "a: int | None",
        "__all__ = ['a']",
        "@dataclass(frozen=True)\nclass A:\n    pass",
        "def f(a: int | None) -> str | None:\n    b = a",
    ],
)
def test_what_is_no_behaviour_stays(mutating, source):
    assert not list(mutating.mutants_of("a.py", source))


def test_a_mutant_is_named_by_where_and_what(mutating):
    """So that survivors can be run once more from what was printed."""
    (first, _) = mutating.mutants_of("heat/a.py", "b = 1\n".replace("1", "c > d"))
    assert str(first) == "heat/a.py:1: c > d  ->  c >= d"


def test_only_the_tests_of_its_line_judge_a_mutant_but_any_test_may_read_its_tables(mutating, mutants):
    of_table, of_line = mutating.mutants_of("a.py", "A = 1\ndef f():\n    return b")
    lines = {"a.py": {3: {"t1"}, 7: {"t2"}}, "c.py": {1: {"t3"}}}
    took = {"t1": 1.0, "t2": 0.5, "t3": 0.1}
    noticed = {"a.py": dict.fromkeys(took, 0)}
    assert mutants.chosen(of_line, lines, took, noticed) == ["t1"]
    assert mutants.chosen(of_table, lines, took, noticed) == ["t2", "t1", "t3"], "those of the module first"
    assert mutants.chosen(of_table, {}, took, noticed) == ["t3", "t2", "t1"]


def test_what_noticed_before_and_what_is_quick_goes_first(mutants):
    assert mutants.within(["t1", "t2", "t3"], {"t1": 1.0, "t2": 0.5, "t3": 0.1}, 1.55) == ["t1", "t2"]
    assert mutants.within(["t1"], {"t1": 9.0}, 1.0) == ["t1"]  # one at least
