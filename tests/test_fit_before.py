"""The fit of an evening ago is found again when the log has only gone on, and not otherwise."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from io import BytesIO

import numpy as np
import pytest

from logbook.actions.reckoning import Cache, Known, fingerprint, fit_before, posterior_of
from logbook.demo import demo_description, demo_entries
from logbook.heat import fit
from logbook.heat.mode import Mode, mode_near
from logbook.heat.model import Batch
from logbook.records import DatedDescription


class Drawer:
    """A cache in memory."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}

    def get(self, key: str) -> bytes | None:
        return self.kept.get(key)

    def put(self, key: str, blob: bytes) -> None:
        self.kept[key] = blob


def told(rows: int) -> Known:
    """The first so many rows of the demo."""
    entries = tuple(demo_entries()[:rows])
    return Known(
        as_of=max(e.at for e in entries) + timedelta(minutes=1),
        entries=entries,
        descriptions=(DatedDescription(uuid="demo", valid_from=None, description=demo_description()),),
    )


@pytest.fixture(scope="module")
def cache() -> Cache:
    """A cache in which the fit of the first 25 rows is kept."""
    made = Cache(Drawer())
    posterior_of(told(25), cache=made)
    return made


def test_a_log_that_has_gone_on_finds_it(cache: Cache) -> None:
    kept = fit_before(told(32), cache)
    assert kept is not None
    np.testing.assert_array_equal(kept.mode, posterior_of(told(25), cache=cache).mode)


def test_a_log_in_which_something_was_changed_does_not(cache: Cache) -> None:
    """A reading mended, a row gone, another description, fewer rows, nothing kept."""
    more = told(32)
    at = next(i for i, e in enumerate(more.entries) if e.indoor_c is not None)
    mended = replace(more.entries[at], indoor_c=(more.entries[at].indoor_c or 0.0) + 0.5)
    assert (
        fit_before(replace(more, entries=(*more.entries[:at], mended, *more.entries[at + 1 :])), cache)
        is None
    )
    assert fit_before(replace(more, entries=more.entries[1:]), cache) is None
    said = more.descriptions[0].description
    described = replace(
        more.descriptions[0], description=replace(said, cabin=replace(said.cabin, floor_m2=20.0))
    )
    assert fit_before(replace(more, descriptions=(described,)), cache) is None
    assert fit_before(told(20), cache) is None
    assert fit_before(more, Cache(Drawer())) is None


def test_it_is_where_the_next_fit_starts(monkeypatch: pytest.MonkeyPatch) -> None:
    own = Cache(Drawer())
    first = posterior_of(told(25), cache=own)
    begun: list[np.ndarray] = []
    near = mode_near

    def seen(b: Batch, last: np.ndarray, *, other: np.ndarray) -> Mode | None:
        begun.append(last)
        return near(b, last, other=other)

    monkeypatch.setattr(fit, "mode_near", seen)
    posterior_of(told(32), cache=own)
    assert len(begun) == 1
    np.testing.assert_array_equal(begun[0], first.mode)
    posterior_of(told(32), cache=own)  # kept: not looked for again
    assert len(begun) == 1
    assert own.get(fingerprint(told(32))) is not None


def test_one_whose_fit_has_made_room_for_others_is_no_fit() -> None:
    drawer = Drawer()
    posterior_of(told(25), cache=Cache(drawer))
    largest = max(drawer.kept, key=lambda key: len(drawer.kept[key]))
    del drawer.kept[largest]
    assert fit_before(told(32), Cache(drawer)) is None


def _without(arrays: dict[str, np.ndarray], name: str) -> dict[str, np.ndarray]:
    return {other: value for other, value in arrays.items() if other != name}


def test_what_lacks_an_array_or_holds_another_counts_as_missing() -> None:
    """An archive whose names were bent is a whole archive: it ended in a KeyError. Found by the fuzz."""
    own, blank = Cache(Drawer()), np.array([])
    made = posterior_of(told(25), cache=own)
    drawer = own.blobs.kept  # type: ignore[attr-defined] - a Drawer
    assert len(drawer) == 2, "a fit, and the name of the last one"
    for key, blob in list(drawer.items()):
        whole = own.blobs.get(key)
        with np.load(BytesIO(blob), allow_pickle=False) as loaded:
            arrays = dict(loaded)
        for name in arrays:
            bent = [_without(arrays, name)]
            if name in ("numbers", "entries", "change_times", "aside"):
                bent += [arrays | {name: blank}, arrays | {name: np.array(["no"])}]
            for spoilt in bent:
                out = BytesIO()
                np.savez(out, allow_pickle=False, **spoilt)
                drawer[key] = out.getvalue()
                fit_before(told(32), own)
                if spoilt is bent[0]:
                    assert fit_before(told(32), own) is None, name
        assert whole is not None
        drawer[key] = whole
    np.testing.assert_array_equal(fit_before(told(32), own).mode, made.mode)  # type: ignore[union-attr]


def test_a_spoilt_fit_is_made_again() -> None:
    own = Cache(Drawer())
    made = posterior_of(told(25), cache=own)
    own.put(fingerprint(told(25)), _without(dict(made.to_arrays()), "numbers"))
    np.testing.assert_array_equal(posterior_of(told(25), cache=own).mode, made.mode)


def test_whatever_reading_what_is_kept_stumbles_over_it_is_missing() -> None:
    own = Cache(Drawer())
    own.put("night", {"hours": np.array([1e300])})
    assert own.read("night", lambda kept: timedelta(hours=float(kept["hours"][0]))) is None
    assert own.read("night", lambda kept: kept["inside_c"]) is None
    assert own.read("night", lambda kept: kept["hours"][7]) is None
    assert own.read("none", lambda kept: kept) is None
    assert own.read("night", lambda kept: kept["hours"].shape) == (1,)
