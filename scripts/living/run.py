"""Runs the tasks and prints the table."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from os import environ
from pathlib import Path

from living import kills
from living.tasks import READY, SAID, SHELL, TASKS, Live, Living, opening
from living.terminal import NotSeen, Terminal, homes, nightload

KEYS_A_SECOND = 1.5
"""A cold hand. ASSUMED: what a person in thin gloves does with one finger."""

Row = tuple[str, str, str, str, str, str]
HEAD: Row = ("task", "what", "keys", "count", "at 1.5 keys/s", "answer after")


def run(names: Sequence[str]) -> int:
    """Live the tasks whose names hold one of the words; all without words."""
    folder = Path(tempfile.mkdtemp(prefix="nightload-tasks-"))
    rows: list[Row] = []
    missed: list[str] = []
    try:
        for got in _all(names, folder):
            if isinstance(got, str):
                missed.append(got)
                print(got, file=sys.stderr)
            else:
                rows.append(got)
                print(" | ".join(got), file=sys.stderr)
        print(table(rows))
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return 1 if missed else 0


def table(rows: Iterable[Row]) -> str:
    """The rows in Markdown."""
    lines = [f"| {' | '.join(HEAD)} |", "|" + "---|" * len(HEAD)]
    return "\n".join([*lines, *(f"| {' | '.join(row)} |" for row in rows)])


def _all(names: Sequence[str], folder: Path) -> Iterable[Row | str]:
    # What was learned of the demo before may be used again: it costs minutes on the first run.
    cache = Path(environ.get("XDG_CACHE_HOME") or folder / "cache")
    for n, (number, name, live) in enumerate(TASKS):
        if _meant(name, names):
            yield _lived(number, name, live, home=folder / f"home{n}", cache=cache, n=n)
    for number, name, words, answer, typed in SHELL:
        if _meant(name, names):
            yield _in_the_shell(number, name, words, answer, typed, folder=folder)
    for cut in (kills.killed_after_enter, kills.killed_while_typing, kills.left_while_typing):
        name = cut.__name__.replace("_", " ")
        if _meant(name, names):
            yield _cut(name, cut, folder=folder)


def _meant(name: str, names: Sequence[str]) -> bool:
    return not names or any(word in name for word in names)


def _lived(number: str, name: str, live: Live, *, home: Path, cache: Path, n: int) -> Row | str:
    with Terminal(opening(live, home), env=homes(home, cache), name=str(n)) as terminal:
        try:
            terminal.wait_for(READY, within_s=60)
            terminal.count_from_here()
            live(Living(terminal, home))
        except (NotSeen, AssertionError, StopIteration) as missed:
            return f"NOT LIVED: {name}: {missed}"
        answered = time.monotonic() - terminal.last_key
        said = SAID.get(name) or terminal.typed
        return (number, name, said, str(terminal.keys), _by_hand(terminal.keys), f"{answered:.1f} s")


def _by_hand(keys: int) -> str:
    return f"{keys / KEYS_A_SECOND:.0f} s"


def _in_the_shell(
    number: str, name: str, words: Sequence[str], answer: str, typed: str, *, folder: Path
) -> Row | str:
    log = folder / f"{words[0].strip('-')}.db"
    env = {**environ, **homes(folder / "shell", folder / "cache"), "NIGHTLOAD_LOG": str(log)}
    subprocess.run(nightload("demo", "--write", str(log)), env=env, capture_output=True, check=True)
    began = time.monotonic()
    done = subprocess.run(
        nightload(*words), env=env, input=typed or None, capture_output=True, text=True, encoding="utf-8",
        check=False, timeout=120,
    )  # fmt: skip
    took = time.monotonic() - began
    if done.returncode or not re.search(answer, done.stdout):
        return f"NOT LIVED: {name}: exit {done.returncode}\n{done.stdout}{done.stderr}"
    line = f"nightload {' '.join(f'{chr(34)}{w}{chr(34)}' if ' ' in w else w for w in words)}"
    keys = len(line) + 1 + len(typed)
    said = f"`{line}` Enter" + (" `" + "` Enter `".join(typed.split()) + "` Enter" if typed else "")
    return (number, name, said, str(keys), _by_hand(keys), f"{took:.1f} s")


def _cut(name: str, cut: Callable[[Path, dict[str, str]], str], *, folder: Path) -> Row | str:
    try:
        said = cut(folder, homes(folder / "cuts", folder / "cache"))
    except (NotSeen, AssertionError) as missed:
        return f"NOT LIVED: {name}: {missed}"
    return ("", name, said, "", "", "")
