"""The invented cabin the entry line is tested against."""

from __future__ import annotations

import pytest

from logbook.entry import Setting


@pytest.fixture
def setting() -> Setting:
    return Setting(
        zone="Europe/London",
        pieces_kg=(("S", 0.8), ("M", 1.6), ("L", 2.8)),
        max_load_kg=8.0,
        largest_load_kg=5.5,
        air_lever_reads="open",
        clean_floor_open_pct=25.0,
        species="birch",
    )
