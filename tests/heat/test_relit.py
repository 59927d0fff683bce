"""A stove gone cold over unburnt wood is cold: it wants kindling, and nobody is told that it burns.

What the model leaves unburnt, a few hundred grams, it leaves for good: cold wood does not light itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from test_practice_nights import PRACTICE

from logbook.description import parse_description
from logbook.heat.fit import learn
from logbook.heat.night import forecast
from logbook.heat.outdoors_ahead import Evening
from logbook.records import Coals, DatedDescription
from logbook.setting import setting_of
from logbook.store.tables_in import read_table

HOUR = timedelta(hours=1)


@dataclass(frozen=True)
class Laid:
    """A load hours after the one before: whether it was lit anew, the coals found, the stove as forecast."""

    kindled: bool
    coals: Coals | None
    fire: int


@pytest.fixture(scope="module")
def laid() -> list[Laid]:
    """Loads of the last five stays of a practice cabin, from 5 h after the load before."""
    folder = PRACTICE / "rowan"
    description = parse_description((folder / "description.toml").read_text("utf-8"), machine_zone="UTC")
    table = read_table(
        (folder / "notebook.csv").read_bytes(),
        setting=setting_of(description),
        now=datetime(2026, 11, 1, tzinfo=UTC),
    )
    rows = sorted((new.entry for _, new in table.new if new.entry), key=lambda e: e.at)
    described = [DatedDescription(uuid="rowan", valid_from=None, description=description)]
    learned = learn(
        descriptions=described, entries=rows, as_of=rows[-1].at, rng=np.random.default_rng(1), draws=120
    )
    loads = [e for e in rows if e.load_kg and e.at >= rows[-1].at - timedelta(days=66)]
    out = []
    for before, load in pairwise(loads):
        if not 5 * HOUR < load.at - before.at < 17 * HOUR:
            continue
        evening = Evening(as_of=load.at, bed=load.at, wake=load.at + HOUR)
        idle = forecast(
            posterior=learned, descriptions=described, entries=[e for e in rows if e.at < load.at],
            evening=evening, plans=[()], rng=np.random.default_rng(3),
        )  # fmt: skip
        near = [e.coals for e in rows if e.coals is not None and abs(e.at - load.at) < HOUR]
        out.append(Laid(load.kindling, near[0] if near else None, int(idle.fire[0, 0])))
    return out


def test_where_the_owner_lit_anew_the_stove_is_out_as_often_as_not(laid: list[Laid]) -> None:
    """Wood left cold was taken for wood that burns in each of four; two now, where a small ember is left."""
    relit = [one.fire for one in laid if one.kindled]
    assert len(relit) >= 4
    assert sum(fire == 0 for fire in relit) >= 0.5 * len(relit)


def test_on_good_coals_it_is_never_out(laid: list[Laid]) -> None:
    good = [one.fire for one in laid if one.coals is Coals.GOOD]
    assert good
    assert all(good)
