"""Bad input once found or seldom reached, played again, and a fresh miniature of the fuzzing.

``tests/fuzz_corpus/found.jsonl``: each broke something once; "was" says what. ``wide.jsonl``: the cases that
reached most of the code. Both are cases of ``scripts/benching/reliability/fuzz.py``, judged by its rules.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("resource", reason="the watch over cases is the system's own, on Linux")
ROOT = Path(__file__).resolve().parents[2]
CORPUS = ROOT / "tests" / "fuzz_corpus"
MINIATURE, SEED = 500, 8


@pytest.fixture(scope="module")
def fuzz() -> Iterator[Any]:
    """The fuzzing, its ground laid once for all cases."""
    sys.path.insert(0, str(ROOT / "scripts"))
    try:
        from benching.reliability import fuzz as module  # noqa: PLC0415 - found where the line above says
        from benching.reliability.fuzz_ground import ground  # noqa: PLC0415

        with ground() as at:
            yield lambda cases: module.tried(cases, at)
    finally:
        sys.path.remove(str(ROOT / "scripts"))


def kept(name: str) -> list[dict[str, Any]]:
    return [json.loads(row) for row in (CORPUS / name).read_text(encoding="utf-8").splitlines()]


@pytest.mark.parametrize("case", kept("found.jsonl"), ids=lambda case: case["was"])
def test_what_broke_once_does_not_break_again(fuzz, case):
    _, found = fuzz([case])
    assert found == {}


def test_the_widest_cases_break_nothing(fuzz):
    cases = kept("wide.jsonl")
    played, found = fuzz(cases)
    assert played.total() == len(cases) > 200
    assert found == {}


def test_a_fresh_miniature_breaks_nothing(fuzz):
    from benching.reliability.fuzz_cases import MAKERS, cases  # noqa: PLC0415 - as in the fixture
    from benching.reliability.fuzz_more import MORE, more_cases  # noqa: PLC0415

    played, found = fuzz([*cases(MINIATURE, SEED), *more_cases(30, SEED)])
    assert set(played) == {*MAKERS, *MORE}, "every kind of input is among them"
    assert found == {}


# The judge itself: a rule that can't fail would find nothing for ever.


@pytest.fixture
def judge(fuzz):
    from benching.reliability import fuzz_play  # noqa: PLC0415 - as in the fixture
    from benching.reliability.fuzz_ground import Ran  # noqa: PLC0415

    def judged(*words: str, code: int = 0, out: str = "", err: str = "") -> list[str]:
        return fuzz_play.judged({"kind": "note"}, list(words), Ran(code=code, out=out, err=err))

    return judged


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ({"code": 2, "err": "No.\nDo this."}, ""),
        ({"code": 2, "err": "No."}, "without what to do next"),
        ({"code": 2, "err": "Traceback\nDo this."}, "Traceback"),
        ({"code": 2, "err": "'NoneType' it is.\nDo this."}, "NoneType"),
        ({"code": 9, "err": "No.\nDo this."}, "exit code 9"),
        ({"out": "in 5\x1b[2J"}, "prints the sign"),
        ({"out": "\u202eevil"}, "prints the sign"),
        ({}, "said nothing"),
    ],
)
def test_the_judge_hears_what_is_wrong(judge, said, wrong):
    got = "; ".join(judge("note", "in 5", **said))
    assert wrong in got if wrong else got == ""


def test_the_judge_sees_what_was_changed_beyond_the_sentence(fuzz, tmp_path):
    from benching.reliability.fuzz_ground import Ran  # noqa: PLC0415 - as in the fixture
    from benching.reliability.fuzz_play import changed  # noqa: PLC0415

    def event(key: int, act: bytes) -> tuple[Any, ...]:
        return (key, b"u", 1, 1, 1, act)

    blank: dict[str, list[Any]] = {name: [] for name in ("entry", "typed", "description", "setting")}
    before = {"event": [event(1, b"record")], **blank}
    more = {"event": [event(1, b"record"), event(2, b"record")], **blank}
    other = {"event": [event(1, b"remove")], **blank}

    def seen(words: list[str], after: Any, *, code: int = 0, out: str = "") -> list[str]:
        return changed(words, Ran(code=code, out=out, err=""), before, after, tmp_path)

    assert seen(["note", "in 5"], more) == []
    assert seen(["events"], before) == []
    assert seen(["note", "in 5"], before, code=2) == []
    assert seen(["note", "in 5"], more, code=2)[0].startswith("refused (2), yet")
    assert seen(["events"], more)[0].startswith("no writing command added")
    assert seen(["remove", "1"], more)[0].startswith("remove added")
    assert seen(["import", "t.csv", "--preview"], more, out="Would bring in 1")[0].startswith("import added")
    assert seen(["note", "in 5"], other)[0] == "rows of event were changed"
    assert seen(["note", "in 5"], None) == ["the log is gone"]
    assert seen(["undo"], before, out="Taken back: x")[0].startswith("says 'Taken back'")


def test_a_case_that_waits_is_stopped(fuzz, monkeypatch):
    import os  # noqa: PLC0415 - one test alone

    from benching.reliability import fuzz_ground  # noqa: PLC0415 - as in the fixture

    monkeypatch.setattr(fuzz_ground, "MOST_WALL_S", 0.2)
    reader, writer = os.pipe()
    ran = fuzz_ground.watched(lambda: len(os.read(reader, 1)))
    os.close(reader)
    os.close(writer)
    assert ran.fault.startswith("hang")


def test_the_same_seed_makes_the_same_cases(fuzz):
    from benching.reliability.fuzz_cases import cases, text_of  # noqa: PLC0415 - as in the fixture

    first, again = ([text_of(case) for case in cases(60, 5)] for _ in range(2))
    assert first == again
    assert Counter(first).most_common(1)[0][1] == 1
