"""Standard streams that are closed or full: words, not Python's; what was kept stays kept."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from logbook.cli.flag_values import readable

pytestmark = pytest.mark.skipif(not Path("/dev/full").exists(), reason="the full disk is Linux's /dev/full")
ROOT = Path(__file__).resolve().parents[2]
HOMES = ("XDG_DATA_HOME", "XDG_CACHE_HOME")


def by_shell(folder: Path, words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["/bin/sh", "-c", f'exec "$0" -m logbook --log log.db {words}', sys.executable],
        cwd=folder, capture_output=True, text=True, timeout=60, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), **dict.fromkeys(HOMES, str(folder))},
    )  # fmt: skip


def test_a_full_output_is_told_and_what_was_kept_is_kept_once(tmp_path):
    got = by_shell(tmp_path, "note in 5 > /dev/full")
    assert got.returncode == 3
    assert got.stderr.startswith("The answer could not be written: No space left on device.\n")
    assert "done all the same" in got.stderr
    assert len(by_shell(tmp_path, "events").stdout.splitlines()) == 1


def test_closed_streams_are_no_error(tmp_path):
    assert by_shell(tmp_path, "note in 5 >&- 2>&- <&-").returncode == 0
    got = by_shell(tmp_path, "events <&-")
    assert (got.returncode, got.stderr) == (0, "")
    assert "in 5.0 °C" in got.stdout
    assert by_shell(tmp_path, "plain <&-").returncode == 0


def test_utf_8_in_a_shell_that_was_told_of_ascii_is_utf_8():
    """ "über" was kept as "Ã¼ber" where LC_ALL=C and UTF-8 mode is off."""
    assert readable("über −9".encode().decode("ascii", "surrogateescape")) == "über −9"
    assert readable("gr\udcfcn") == "grün"
    assert readable("\ud83d") == "?"
