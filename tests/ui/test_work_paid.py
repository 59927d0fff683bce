"""What a work cost, on the Cabin page of a real log: by what was compared for it; no fit is run."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from logbook.actions import cabin_page, works
from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.actions.reckoning import Known
from logbook.demo import demo_now, write_demo
from logbook.heat.compare import dated_changes, told_stays, untold
from logbook.results.app import Helped
from logbook.results.works import CompareAnswer


def not_judged(told: Known, **_: object) -> CompareAnswer:
    """As ``compare`` answers about changes with no nights to judge them by."""
    stays = told_stays(told.learned_from, as_of=told.as_of)
    changes = dated_changes(told.entries, as_of=told.as_of)
    return CompareAnswer(changes=tuple(untold(c, told=stays, zone=told.zone) for c in changes))


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[AppDesk]:
    def no_fit(*_: object, **__: object) -> None:
        raise AssertionError("a fit was run for what a work cost")

    write_demo(tmp_path / "demo.db")
    monkeypatch.setattr(works, "learn_window", no_fit)
    monkeypatch.setattr(cabin_page, "compare", not_judged)
    monkeypatch.setattr(cabin_page, "_narrowed", lambda *_, **__: "")
    desk = AppDesk(Place(tmp_path / "demo.db"), at=demo_now())
    desk.keep(desk.read("work curtain done"))
    yield desk
    desk.close()


def curtain(desk: AppDesk) -> Helped:
    return next(change for change in desk.works(lambda _: None).changes if "curtain" in change.name)


def test_without_a_cost_the_line_that_writes_it_is_told_as_typed_here(desk: AppDesk) -> None:
    said = " ".join(curtain(desk).paid)
    assert "not written down" in said and '"cost curtain 240 31 h"' in said and "nightload" not in said
    kept = desk.keep(desk.read("cost curtain 240 31 h"))
    assert kept.event_ids, "what it tells to type is understood"


def test_money_hours_and_why_no_payback_stand_on_the_page(desk: AppDesk) -> None:
    desk.keep(desk.read("cost curtain 240 31 h"))
    first, *_, last = curtain(desk).paid
    assert first.startswith("It cost 240 in money and 31 h of work")
    assert last == "When it has paid for itself can't be told: what it did is not known."


def test_only_the_work_meant_has_the_cost(desk: AppDesk) -> None:
    desk.keep(desk.read("work door strip done"))
    desk.keep(desk.read("cost curtain 77 5 h"))
    others = [c for c in desk.works(lambda _: None).changes if "curtain" not in c.name]
    assert others and not any("77 in money" in " ".join(c.paid) for c in others)
