"""A small cabin's log for the tests of commands and actions: two short stays, written by hand.

The numbers are invented and few, so that learning from them takes a second.
"""

from __future__ import annotations

import functools
from pathlib import Path

import pytest

from logbook.heat import fit

DESCRIPTION = """
[site]
name = "Rushlight"
latitude_deg = 47.0
longitude_deg = 13.0
timezone = "Etc/GMT-1"
[cabin]
floor_m2 = 24
volume_m3 = 60
[stove]
max_load_kg = 8
air_lever_reads = "open"
clean_floor_open_pct = 25
open_minutes = 12
[wood]
moisture_pct = 18
moisture_basis = "wet"
pieces_kg = {S = 0.8, M = 1.6, L = 2.8}
[comfort]
band_c = [16, 22]
bed = "22:30"
wake = "06:30"
"""

ROWS = """at,mark,indoor_c,outdoor_c,load_kg,air_open_pct,window,coals,forecast_low_c,note
2026-01-09T16:00,arrived,4.0,-2.0,1.6,100,shut,,,kindling
2026-01-09T16:30,,8.0,,3.2,60,,,,
2026-01-09T17:00,,,,,30,,,,
2026-01-09T19:00,,17.5,-4.0,,,,,,
2026-01-09T21:00,,19.0,,1.6,50,,,,
2026-01-09T22:30,bed,20.0,-5.0,,,,good,-8,
2026-01-09T22:31,,,,2.8,30,,,,
2026-01-10T06:30,woke,12.5,-7.0,,,,none,,
2026-01-10T07:00,,12.0,,2.4,60,,,,kindling
2026-01-10T12:00,left,17.0,-2.0,,,,,,
2026-01-16T16:00,arrived,3.0,-4.0,2.4,100,shut,,,kindling
2026-01-16T16:45,,9.0,,3.2,60,,,,
2026-01-16T17:15,,,,,30,,,,
2026-01-16T19:30,,18.0,-6.0,,,,,,
2026-01-16T21:15,,19.5,-7.0,1.6,60,,,,
2026-01-16T21:30,,20.0,,,30,,good,-10,
"""

AS_OF = "2026-01-16T21:40"
"""Local time of the question in most tests: the second Friday evening."""


@pytest.fixture
def cabin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with cabin.toml and rows.csv; data and cache folders of its own; quick learning."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("NIGHTLOAD_LOG", raising=False)
    (tmp_path / "cabin.toml").write_text(DESCRIPTION, encoding="utf-8")
    (tmp_path / "rows.csv").write_text(ROWS, encoding="utf-8")
    learn_quickly(monkeypatch)
    return tmp_path


def learn_quickly(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fewer draws, one stay: these tests are about what is done with an answer, not how good it is."""
    monkeypatch.setattr(fit, "learn", functools.partial(fit.learn, draws=40, last_stays=1))
