"""After slow work the memory is the system's again, in a worker thread as in the app."""

from __future__ import annotations

import subprocess
import sys

import pytest

HELD = """
import sys, threading
import numpy as np
from logbook.ui.slow import SlowWork

def resident_mb():
    with open("/proc/self/statm") as pages:
        return int(pages.read().split()[1]) * 4096 / 1e6

def work(progress):
    np.ones(3_000_000)  # 24 MB, freed: from here on glibc would keep up to 48 MB for the thread
    kept = [np.ones(300_000) for _ in range(16)]
    return len(kept)

came = threading.Event()
slow = SlowWork(done=lambda *_: None, failed=print, progress=lambda *_: None)
before = resident_mb()
slow.add("fit", work)
slow.add("after", lambda _: came.set())
came.wait(30)
print(resident_mb() - before)
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="glibc's malloc is what is told")
def test_what_slow_work_needed_is_given_back() -> None:
    """The work needs 38 MB in pieces; by itself the C library keeps them for the thread."""
    done = subprocess.run(
        [sys.executable, "-c", HELD], capture_output=True, text=True, timeout=60, check=True
    )
    assert float(done.stdout.split()[-1]) < 15.0
