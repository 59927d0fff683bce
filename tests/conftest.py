"""Invented examples are the same in every run, so that a failure means the change at hand.

Fresh ones: ``python3 scripts/test.py tests/entry --hypothesis-profile=fresh``; what they find becomes an
``@example``.
"""

from __future__ import annotations

import os
import time

import pytest
from hypothesis import settings

os.environ["TZ"] = "UTC"  # a log without a description takes the machine's zone
if hasattr(time, "tzset"):
    time.tzset()

# A busy machine is no failure: no time limit for one example.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("fresh", deadline=None)
settings.load_profile("repeatable")


@pytest.fixture(scope="session", autouse=True)
def _cache_of_nobody(tmp_path_factory: pytest.TempPathFactory) -> None:
    """What is learned in a test is never taken from, nor left in, the cache of whoever runs it."""
    os.environ["XDG_CACHE_HOME"] = str(tmp_path_factory.mktemp("cache"))
