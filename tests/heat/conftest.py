"""Cabins that several tests of the heat core share, and the way to the modules beside them."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from simulated import board_cabin

from logbook.records import Cabin, DatedDescription, Description, Stove


@pytest.fixture(scope="session")
def boards() -> Description:
    """A batt-insulated board cabin of 24 m2 with its layers, windows and stove described."""
    return board_cabin()


@pytest.fixture(scope="session")
def dated(boards: Description) -> list[DatedDescription]:
    """The board cabin as the only version there ever was."""
    return [DatedDescription(uuid="boards", valid_from=None, description=boards)]


@pytest.fixture(scope="session")
def scant() -> list[DatedDescription]:
    """Only what a description must have: floor, volume and the largest load."""
    scant = Description(cabin=Cabin(floor_m2=22.0, volume_m3=55.0), stove=Stove(max_load_kg=8.0))
    return [DatedDescription(uuid="scant", valid_from=None, description=scant)]
