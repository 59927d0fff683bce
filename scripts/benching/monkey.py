"""A monkey at the real app in a real terminal: random keys, clicks and window sizes."""

from __future__ import annotations

import os
import random
import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benching.terminal import Terminal, started

KEYS = 20_000
BURST = 40
"""Keys written at once, as by a cat on the keyboard; between bursts the window may change its size."""

NAMED = (
    b"\r", b"\r", b"\t", b"\x1b", b"\x7f", b"\x1b[A", b"\x1b[B", b"\x1b[C", b"\x1b[D", b"\x1b[5~", b"\x1b[6~",
    b"\x1b[H", b"\x1b[F", b"\x1b[15~", b"\x1b[Z", b"\x1bt", b"\x01",
)  # fmt: skip
"""Enter, Tab, Esc, Backspace, arrows, PgUp, PgDn, Home, End, F5, Shift-Tab, Alt-t, Ctrl-a (xterm's codes)."""

ESC_ALONE_S = 0.15
TRIES = 6

LINES = (b"-11/18 4m 1/4\r", b"note mouse\r", b"in 19\r", b"window cracked\r", b"bed\r", b"7am woke 12\r")
"""Whole lines now and then, or hardly anything would ever be kept."""

SIZES = ((80, 24), (120, 40), (60, 20), (40, 10), (100, 30), (20, 5))


@dataclass
class Done:
    """What became of it."""

    keys: int = 0
    crashes: int = 0
    quits: int = 0
    takes_a_line: bool = False


class Monkey:
    """Presses keys until told to stop; a program that was closed by ``q`` is opened again."""

    def __init__(
        self, environment: Mapping[str, str], program: Sequence[str], *, seed: int = 20260116
    ) -> None:
        self._environment, self._program = environment, program
        self._rng = random.Random(seed)
        self._done = Done()
        self._terminal: Terminal | None = None

    def run(self, keys: int) -> Done:
        """Press so many keys, then write one line."""
        try:
            while self._done.keys < keys:
                terminal = self._open()
                os.write(terminal.screen, self._burst())
                terminal.quiet(0.03, most=5.0)
                if self._rng.random() < 0.3:
                    self._line(terminal, self._rng.choice(LINES))
                if self._rng.random() < 0.2:
                    terminal.resize(*self._rng.choice(SIZES))
            terminal = self._open()
            terminal.resize(80, 24)
            for _ in range(TRIES):
                terminal.idle_after_s()  # a hundred keys a second are more than it reads while it learns
                self._line(terminal, b"note the end\r")
                if terminal.until_s("saved", most=5.0) > 0.0:
                    self._done.takes_a_line = True
                    break
        finally:
            if self._terminal is not None:
                self._terminal.end()
        return self._done

    def _open(self) -> Terminal:
        if self._terminal is not None:
            code = self._terminal.exit_code()
            if code is None:
                return self._terminal
            self._done.quits += code == 0
            self._done.crashes += code != 0
            self._terminal.end()
        self._terminal = started(self._program, self._environment)
        self._terminal.first_frame_s()
        return self._terminal

    def _burst(self) -> bytes:
        self._done.keys += BURST
        return b"".join(self._key() for _ in range(BURST))

    def _line(self, terminal: Terminal, line: bytes) -> None:
        """Esc twice, each by itself (with what follows at once it would be a chord), then a line."""
        for _ in range(2):
            os.write(terminal.screen, b"\x1b")
            terminal.settle(ESC_ALONE_S)
        os.write(terminal.screen, b" " + line)
        self._done.keys += 3 + len(line)

    def _key(self) -> bytes:
        kind = self._rng.random()
        if kind < 0.25:
            return self._rng.choice(NAMED)
        if kind < 0.28:
            place = f"{self._rng.randrange(1, 80)};{self._rng.randrange(1, 24)}"
            return f"\x1b[<0;{place}M\x1b[<0;{place}m".encode()
        return self._rng.choice(string.ascii_letters + string.digits + "-/.,: !?%+").encode()
