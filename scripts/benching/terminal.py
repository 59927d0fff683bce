"""A program in a terminal of our own: when its first frame is there, how soon keys show, what it takes idle.

POSIX only; processor time and memory are read from ``/proc``.
"""

from __future__ import annotations

import os
import re
import select
import signal
import struct
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

COLUMNS, ROWS = 80, 24
FIRST_FRAME = 150
"""So many visible characters after the alternate screen is entered count as the first frame."""

ESCAPES = re.compile(r"\x1b(\[[0-9;:?<>=$]*[A-Za-z~]|\][^\x07\x1b]*(\x07|\x1b\\)|[()][A-Za-z0-9]|[=>78P\\])")
LONGEST_S, LONGEST_WORK_S = 30.0, 180.0
"""How long a first frame, and the end of what is reckoned behind it, are waited for, s."""


@dataclass
class Terminal:
    """A running program and the terminal it believes to be in."""

    pid: int
    screen: int
    began: float
    ended: bool = False
    code: int = 0

    def read(self, seconds: float) -> str:
        """What it writes within so many seconds, at most one chunk."""
        ready, _, _ = select.select([self.screen], [], [], seconds)
        if not ready:
            return ""
        try:
            return os.read(self.screen, 65536).decode("utf-8", "replace")
        except OSError:
            return ""

    def first_frame_s(self) -> float:
        """Seconds from the start to the first frame; not a number when none comes."""
        seen = ""
        while time.perf_counter() - self.began < LONGEST_S:
            seen += self.read(1.0)
            _, entered, after = seen.partition("\x1b[?1049h")
            if entered and len(re.sub(r"\s", "", ESCAPES.sub("", after))) >= FIRST_FRAME:
                return time.perf_counter() - self.began
        return float("nan")

    def settle(self, seconds: float) -> None:
        """Read and forget for so long."""
        end = time.perf_counter() + seconds
        while time.perf_counter() < end:
            self.read(0.05)

    def idle_after_s(self) -> float:
        """Waits until it takes less than a tenth of a core for a second; seconds since its start."""
        called = time.perf_counter()
        while time.perf_counter() - called < LONGEST_WORK_S and self.exit_code() is None:
            if self.busy_pct(1.0) < 10.0:
                break
        return time.perf_counter() - self.began

    def key_s(self, key: str) -> float:
        """Seconds from a key to what it changes on the screen."""
        self.settle(0.06)
        began = time.perf_counter()
        os.write(self.screen, key.encode())
        return time.perf_counter() - began if self.read(2.0) else float("nan")

    def settled_s(self, key: str, *, quiet_s: float = 0.4) -> float:
        """Seconds from a key to the last thing it changed on the screen."""
        self.settle(0.06)
        began = last = time.perf_counter()
        os.write(self.screen, key.encode())
        while time.perf_counter() - last < quiet_s:
            if self.read(0.05):
                last = time.perf_counter()
        return last - began

    def quiet(self, seconds: float, *, most: float) -> None:
        """Read and forget until nothing came for so long."""
        began = last = time.perf_counter()
        while (now := time.perf_counter()) - last < seconds and now - began < most:
            if self.read(seconds):
                last = time.perf_counter()

    def until_s(self, text: str, *, after_screen: bool = False, most: float = LONGEST_S) -> float:
        """Seconds from the start until a text is written; not a number when it isn't within ``most`` s.

        With ``after_screen`` only what comes after the alternate screen was entered counts.
        """
        seen, called = "", time.perf_counter()
        while time.perf_counter() - called < most:
            seen += self.read(0.2)
            shown = seen.partition("\x1b[?1049h")[2] if after_screen else seen
            if text in ESCAPES.sub("", shown):
                return time.perf_counter() - self.began
        return float("nan")

    def resize(self, columns: int, rows: int) -> None:
        """Give the window another size."""
        _sized(self.screen, columns, rows)

    def busy_pct(self, seconds: float) -> float:
        """Per cent of a core it takes in so many seconds."""
        began, used = time.perf_counter(), self.processor_s()
        self.settle(seconds)
        return 100.0 * (self.processor_s() - used) / (time.perf_counter() - began)

    def exit_code(self) -> int | None:
        """The code it ended with; None while it runs."""
        if not self.ended:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid == 0:
                return None
            self.ended, self.code = True, os.waitstatus_to_exitcode(status)
        return self.code

    def processor_s(self) -> float:
        """Processor time so far, s."""
        fields = open(f"/proc/{self.pid}/stat", encoding="ascii").read().rsplit(")", 1)[1].split()  # noqa: PTH123, SIM115 - one line of the kernel's
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def memory_mb(self, which: str = "VmRSS") -> float:
        """Resident memory, MB; ``VmHWM``: at its most so far."""
        with open(f"/proc/{self.pid}/status", encoding="ascii") as lines:  # noqa: PTH123 - the kernel's
            return next(int(line.split()[1]) / 1024.0 for line in lines if line.startswith(which))

    def end(self) -> None:
        """End the program this terminal started, and nothing else."""
        if not self.ended:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        os.close(self.screen)


def started(arguments: Sequence[str], environment: Mapping[str, str]) -> Terminal:
    """Start this Python with arguments in a terminal of 80 by 24."""
    import pty  # noqa: PLC0415 - not on Windows

    began = time.perf_counter()
    pid, screen = pty.fork()
    if pid == 0:
        os.execve(sys.executable, [sys.executable, *arguments], dict(environment))
    _sized(screen, COLUMNS, ROWS)
    return Terminal(pid, screen, began)


def _sized(screen: int, columns: int, rows: int) -> None:
    import fcntl  # noqa: PLC0415 - not on Windows
    import termios  # noqa: PLC0415 - not on Windows

    fcntl.ioctl(screen, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
