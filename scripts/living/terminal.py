"""A real terminal of a given size, driven by keys: tmux on a socket of its own."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

BETWEEN_LETTERS_S = 1.0
"""Waited between single letters: within 0.8 s two letters are a word."""

LOOK_EVERY_S = 0.02

SHOWN = {"Escape": "Esc", "Down": "↓", "Up": "↑", "Left": "←", "Right": "→", "BSpace": "Backspace"}
"""How keys are told whose names for the terminal are others."""


class NotSeen(AssertionError):  # noqa: N818 - reads as what happened
    """What was looked for did not come; says the screen as it stood."""


class Terminal:
    """One program in one tmux window.

    ``keys`` counts every key sent since ``count_from_here``, ``typed`` tells them, ``last_key`` is when the
    last of them was sent.
    """

    def __init__(
        self,
        command: Sequence[str],
        *,
        size: tuple[int, int] = (80, 24),
        env: Mapping[str, str] | None = None,
        name: str = "task",
    ) -> None:
        self.keys = 0
        self.typed = ""
        self._counting = True
        self.last_key = time.monotonic()
        self._socket = f"nightload-{os.getpid()}-{name}"
        said = " ".join(f"{key}={shlex.quote(value)}" for key, value in (env or {}).items())
        # A test runner may set COLUMNS and LINES; the app would believe them before its terminal.
        line = f"exec env -u COLUMNS -u LINES {said} {shlex.join(command)}"
        columns, rows = size
        self._tmux("new-session", "-d", "-x", str(columns), "-y", str(rows), line)
        self._tmux("set-option", "-g", "status", "off")
        self._tmux("resize-window", "-x", str(columns), "-y", str(rows))

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        subprocess.run(["tmux", "-L", self._socket, "kill-server"], capture_output=True, check=False)

    def press(self, *names: str) -> None:
        """Keys by name, such as Enter, Escape, Down; each counts one."""
        for name in names:
            self._tmux("send-keys", name)
            self._count(1, SHOWN.get(name, name))

    def count_from_here(self) -> None:
        """Forget the keys so far: what comes now is the task."""
        self.keys, self.typed, self._counting = 0, "", True

    def count_no_more(self) -> None:
        """The task is done; what comes now only looks at it."""
        self._counting = False

    def letter(self, *letters: str) -> None:
        """Single letters, far enough apart not to be a word."""
        for letter in letters:
            time.sleep(BETWEEN_LETTERS_S)
            self._tmux("send-keys", "-l", letter)
            self._count(1, f"`{letter}`")

    def write(self, text: str) -> None:
        """Text in one burst, as a fast hand or a paste would; each character counts one."""
        self._tmux("send-keys", "-l", "--", text)
        self._count(len(text), f"`{text}`")

    def resize(self, columns: int, rows: int) -> None:
        """Another size of window."""
        self._tmux("resize-window", "-x", str(columns), "-y", str(rows))

    def screen(self, *, colours: bool = False) -> str:
        """What stands on the screen."""
        return self._tmux("capture-pane", "-p", *(("-e",) if colours else ()))

    def wait_for(self, pattern: str, *, within_s: float = 20.0) -> str:
        """The screen, once a pattern is on it."""
        until = time.monotonic() + within_s
        shown = ""
        while time.monotonic() < until:
            shown = self.screen()
            if re.search(pattern, shown):
                return shown
            time.sleep(LOOK_EVERY_S)
        raise NotSeen(f"'{pattern}' did not come within {within_s:.0f} s. The screen:\n{shown}")

    def pid(self) -> int:
        """The process in the window (it took the shell's place)."""
        return int(self._tmux("display-message", "-p", "#{pane_pid}"))

    def _count(self, keys: int, said: str) -> None:
        if self._counting:
            self.keys += keys
            self.typed = f"{self.typed} {said}".strip()
            self.last_key = time.monotonic()

    def _tmux(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-L", self._socket, "-f", "/dev/null", *words],
            capture_output=True, text=True, encoding="utf-8", check=False,
            env={**os.environ, "LC_ALL": "C.UTF-8"},
        )  # fmt: skip
        if done.returncode:
            raise NotSeen(f"tmux {words[0]}: {done.stderr.strip()}")
        return done.stdout


def nightload(*words: str) -> list[str]:
    """The command that runs Nightload in this Python."""
    return [sys.executable, "-m", "logbook", *words]


def homes(folder: Path, cache: Path) -> dict[str, str]:
    """Environment for a machine of its own: nothing of the person's is read or written."""
    folder.mkdir(parents=True, exist_ok=True)
    return {
        "HOME": str(folder),
        "XDG_DATA_HOME": str(folder / "data"),
        "XDG_CACHE_HOME": str(cache),
        "TMPDIR": str(folder),
        "TERM": "screen-256color",
        "COLORTERM": "truecolor",
        "LC_ALL": "C.UTF-8",
    }
