"""A stay of which rows stand in the log twice at the same times is read once, and that is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import chain

import numpy as np
from simulated import live
from test_typed_twice import weekend

from logbook.as_json import fit_json
from logbook.heat.fit import learn, summary
from logbook.heat.notebook import stays
from logbook.heat.same_rows import LEAST_LOADS, LEAST_READINGS, each_once
from logbook.records import Entry, Flag, OwnUnits
from logbook.wording.answers import fit_text

SECOND = timedelta(seconds=1)


def alternating(rows: list[Entry]) -> list[Entry]:
    return list(chain.from_iterable((row, row) for row in rows))


def learned(entries: list[Entry]):
    lived = live(3)
    return learn(
        descriptions=lived.descriptions, entries=entries, as_of=lived.evening.as_of,
        rng=np.random.default_rng(1), draws=40,
    )  # fmt: skip


def test_a_page_copied_in_again_is_read_once():
    """One after the other, as two computers' logs joined give them, or line by line."""
    page = weekend()
    (alone,) = stays(page)
    for rows in ([*page, *page], alternating(page)):
        (told,) = stays(rows)
        assert replace(told, copied=0) == alone
        assert told.copied == len(page)


def test_notes_and_flags_of_the_copy_may_differ():
    page = weekend()
    other = [replace(row, note="by the other hand", flags=frozenset({Flag.ODD_VALUE})) for row in page]
    (told,) = stays([*page, *other])
    assert told.copied == len(page)
    assert told.loads == stays(page)[0].loads


def test_another_figure_at_the_same_time_is_no_copy():
    page = weekend()
    other = [row if row.indoor_c is None else replace(row, indoor_c=row.indoor_c + 0.1) for row in page]
    assert stays([*page, *other])[0].copied == 0


def test_the_same_load_again_is_a_second_load():
    """The key for it pressed twice on two evenings: no reading comes again, so nothing is a copy."""
    page = weekend()
    rows = list(chain.from_iterable((row, row) if row.load_kg else (row,) for row in page))
    bare = [replace(row, indoor_c=None) if row.load_kg else row for row in rows]
    (told,) = stays(bare)
    assert told.copied == 0
    assert sum(load.kg for load in told.loads) == 2 * sum(row.load_kg or 0.0 for row in page)


def test_how_many_must_come_again():
    """Two loads and four readings, no fewer of either."""
    rows = [Entry(at=row.at + i * SECOND, indoor_c=15.0 + i) for i, row in enumerate(weekend()[:1] * 6)]
    loaded = [replace(row, load_kg=2.0) if i < LEAST_LOADS else row for i, row in enumerate(rows)]
    enough = alternating(loaded[:LEAST_READINGS])
    assert each_once(enough) == (loaded[:LEAST_READINGS], LEAST_READINGS)
    fewer_readings = alternating(loaded[: LEAST_READINGS - 1])
    assert each_once(fewer_readings) == (fewer_readings, 0)
    fewer_loads = alternating([replace(loaded[0], load_kg=None), *loaded[1:]])
    assert each_once(fewer_loads) == (fewer_loads, 0)


def test_what_is_learned_is_as_from_one_copy_and_it_is_said():
    """Each load stood for two: the stove's heat went twice into the same room."""
    lived = live(3)
    page = weekend()
    once, found = learned(list(lived.entries)), learned([*lived.entries, *page])
    np.testing.assert_allclose(found.mode, once.mode)
    assert found.copied == (page[0].at,)
    assert found.stays == once.stays
    assert type(found).from_arrays(found.to_arrays()).copied == found.copied
    answer = summary(found)
    assert fit_json(answer)["stays_with_rows_twice"] == 1
    assert fit_json(summary(once))["stays_with_rows_twice"] == 0
    said = " ".join(fit_text(answer, units=OwnUnits(), zone="UTC"))
    assert "twice at the same times" in said
    assert "twice at the same times" not in " ".join(fit_text(summary(once), units=OwnUnits(), zone="UTC"))


def test_sound_notebooks_have_none():
    for seed in range(12):
        assert all(told.copied == 0 for told in stays(live(seed).entries))


def test_a_log_with_all_its_rows_in_one_minute_takes_no_longer():
    """Each was compared with all before it: 20,000 of a logger would have taken minutes."""
    at = weekend()[0].at
    rows = [Entry(at=at, indoor_c=n / 1000.0) for n in range(20_000)]
    assert each_once(rows) == (rows, 0)
