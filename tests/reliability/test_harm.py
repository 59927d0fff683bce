"""No advice harms: some of the bench's random cabins and evenings, and that its judge sees what is wrong."""

from __future__ import annotations

import ast
import importlib
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from logbook.actions.reckoning import Known
from logbook.actions.tonight import wood_put_in
from logbook.heat import cautions, evening, ranking
from logbook.records import Coals, Entry

ROOT = Path(__file__).resolve().parents[2]

ALONE, ABOUT = range(500, 510), 8
"""Cabins by number, and evenings of one fitted log."""


@pytest.fixture(scope="module")
def bench() -> Iterator[Callable[[str], object]]:
    sys.path.insert(0, str(ROOT / "scripts"))
    try:
        yield lambda name: importlib.import_module(f"benching.reliability.{name}")
    finally:
        sys.path.remove(str(ROOT / "scripts"))


def test_random_and_hostile_evenings_of_cabins_known_by_description(bench):
    harm, cases = bench("harm"), bench("harm_cases")
    found = [f for n in ALONE for f in harm.judge(cases.cabin_alone(1, n, draws=24))[1]]
    assert found == []


def test_evenings_of_a_fitted_log(bench):
    harm, cases = bench("harm"), bench("harm_cases")
    found = [f for case in cases.fitted_cabin(1, 3, evenings=ABOUT, draws=24) for f in harm.judge(case)[1]]
    assert found == []


def test_a_room_that_may_get_too_hot_without_a_fire_is_offered_the_window(bench):
    # Nights of minutes: the rough look saw no draw too hot, and dropped "no fire, window cracked".
    harm, cases = bench("harm"), bench("harm_cases")
    known = ((11, 757), (11, 1622), (12, 1976), (13, 9340))
    found = [f for seed, n in known for f in harm.judge(cases.cabin_alone(seed, n, draws=48))[1]]
    assert found == []


def judged(bench, numbers: range) -> set[str]:
    harm, cases = bench("harm"), bench("harm_cases")
    return {name for n in numbers for name, _ in harm.judge(cases.cabin_alone(1, n, draws=24))[1]}


def test_the_judge_sees_air_below_the_floor(bench, monkeypatch):
    monkeypatch.setattr(evening, "airs", lambda **_: (2.0, 50.0))
    assert "less air than the clean floor" in judged(bench, range(500, 508))


def test_the_judge_sees_an_overfull_firebox(bench, monkeypatch):
    fits_all = lambda plans, *_, **__: evening.np.ones(len(plans), dtype=bool)  # noqa: E731 - a stand-in
    monkeypatch.setattr(ranking, "fitting", fits_all)
    assert judged(bench, range(500, 514)) & {"more than the stove's limit", "reload on a full bed"}


def test_the_judge_misses_no_rule_that_falls_silent(bench, monkeypatch):
    """Each rule of the table made silent in turn: somewhere among a few evenings it is missed."""
    for name in ("alarms_untested", "coals_give_co", "manual_first"):
        left = tuple(rule for rule in cautions.RULES if rule.name != name)
        monkeypatch.setattr(cautions, "RULES", left)
        assert f"missing: {name}" in judged(bench, range(500, 504)), name
        monkeypatch.undo()


@pytest.mark.parametrize(
    "text",
    [
        "The CO alarm is silent, so all is fine.",
        "With this little coals there is no danger.",
        "Carbon monoxide is unlikely here.",
        "Cracked a window: safe from carbon monoxide.",
    ],
)
def test_reassurance_is_seen(bench, text):
    assert bench("harm_words").reassuring(text) is not None


@pytest.mark.parametrize(
    "text",
    [
        'Press the test button on both, smoke and CO, then write "alarms ok".',
        "Coals give carbon monoxide without smoke: leave air and flue open until the stove is cold.",
        "A fine evening. The coals glow.",
    ],
)
def test_a_caution_is_no_reassurance(bench, text):
    assert bench("harm_words").reassuring(text) is None


def sentences() -> Iterator[tuple[str, str]]:
    """Every text of the package that could be shown: string constants, those of an f-string joined."""
    for module in sorted((ROOT / "logbook").rglob("*.py")):
        tree = ast.parse(module.read_text(encoding="utf-8"))
        docs = {id(node.body[0].value) for node in ast.walk(tree)
                if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and node.body
                and isinstance(node.body[0], ast.Expr)}  # fmt: skip
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                parts = [v.value if isinstance(v, ast.Constant) else "…" for v in node.values]
                yield module.name, "".join(map(str, parts))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
                yield module.name, node.value


def test_no_text_of_the_program_reassures_about_carbon_monoxide(bench):
    """Safety: read off the source, so that no page, flag or error is left out."""
    reassuring = bench("harm_words").reassuring
    found = [(module, bad) for module, text in sentences() if (bad := reassuring(text)) is not None]
    assert [one for one in found if one not in ALLOWED] == []


ALLOWED: list[tuple[str, str]] = []
"""Texts that only look like it, each with its reason beside it."""


AT = datetime(2026, 1, 16, 21, 0, tzinfo=UTC)


def put_in(*rows: Entry) -> bool:
    return wood_put_in(Known(as_of=AT, entries=rows, descriptions=()))


def before(minutes: float, **said: object) -> Entry:
    return Entry(at=AT - timedelta(minutes=minutes), **said)


def test_wood_written_down_is_cautioned_about_whatever_the_reckoning_makes_of_it():
    """Evening 69 of fitted log 26, seed 1: 12 kg lit half an hour ago into a firebox said to hold 90 kg that
    never caught. The reckoning had nothing burn, and nothing was said of carbon monoxide."""
    assert put_in(before(80, load_kg=90.0), before(30, load_kg=12.0, kindling=True))
    assert put_in(before(30, load_kg=2.0), before(40, fire_out=True)), "lit again since"
    assert not put_in(before(30, load_kg=2.0), before(10, coals=Coals.NONE)), "said to be out"
    assert not put_in(before(60 * 9, load_kg=2.0)), "long ago: for the reckoning to say"
    assert not put_in()
