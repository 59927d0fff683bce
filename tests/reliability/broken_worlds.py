"""The scripts' own machinery for breaking logs, for the tests beside this file."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"
sys.path.insert(0, str(SCRIPTS))
from benching.reliability import (  # noqa: E402 - the scripts' own modules
    deeds,
    disk,
    disk_in_app,
    disk_model,
    forked,
    kills,
    kills_in_app,
    power,
    shim,
)

sys.path.remove(str(SCRIPTS))

needs_layer = pytest.mark.skipif(bool(shim.why_not()), reason=shim.why_not() or "it is there")


__all__ = [
    "deeds",
    "disk",
    "disk_in_app",
    "disk_model",
    "forked",
    "kills",
    "kills_in_app",
    "needs_layer",
    "power",
    "shim",
]
