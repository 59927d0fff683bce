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
        while time.perf_counter() - self.began < LONGEST_WORK_S:
            used = self.processor_s()
            self.settle(1.0)
            if self.processor_s() - used < 0.1:
                break
        return time.perf_counter() - self.began

    def key_s(self, key: str) -> float:
        """Seconds from a key to what it changes on the screen."""
        self.settle(0.06)
        began = time.perf_counter()
        os.write(self.screen, key.encode())
        return time.perf_counter() - began if self.read(2.0) else float("nan")

    def processor_s(self) -> float:
        """Processor time so far, s."""
        fields = open(f"/proc/{self.pid}/stat", encoding="ascii").read().rsplit(")", 1)[1].split()  # noqa: PTH123, SIM115 - one line of the kernel's
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def memory_mb(self) -> float:
        """Resident memory, MB."""
        with open(f"/proc/{self.pid}/status", encoding="ascii") as lines:  # noqa: PTH123 - the kernel's
            return next(int(line.split()[1]) / 1024.0 for line in lines if line.startswith("VmRSS"))

    def end(self) -> None:
        """End the program this terminal started, and nothing else."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.screen)


def started(arguments: Sequence[str], environment: Mapping[str, str]) -> Terminal:
    """Start this Python with arguments in a terminal of 80 by 24."""
    import fcntl  # noqa: PLC0415 - not on Windows
    import pty  # noqa: PLC0415 - not on Windows
    import termios  # noqa: PLC0415 - not on Windows

    began = time.perf_counter()
    pid, screen = pty.fork()
    if pid == 0:
        os.execve(sys.executable, [sys.executable, *arguments], dict(environment))
    fcntl.ioctl(screen, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
    return Terminal(pid, screen, began)
