"""Makes and keeps the project's own environments, with Python's standard library alone.

The part that decides (what to do with the folder found, what to say when it fails) is pure and
stands first; the part that does it follows. ``start.py`` uses ``.venv``, ``test.py`` ``.venv-test``.
"""

from __future__ import annotations

import enum
import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
MARKER = "made-from.json"
"""Lies in each environment: what it was made from, and whether making it came to an end."""

MADE_FROM = ("pyproject.toml", "scripts/constraints.txt")
"""A change in one of these makes an environment stale."""

PIP_RETRIES = "2"
"""Pip's own 5 keep a person without network waiting for most of a minute."""

NETWORK_SIGNS = (
    "NewConnectionError",
    "NameResolutionError",
    "Temporary failure in name resolution",
    "Connection refused",
    "Network is unreachable",
    "ConnectTimeout",
    "ReadTimeout",
    "timed out",
    "Max retries exceeded",
    "ProxyError",
)
"""What pip says when it reaches nobody."""


class SetUpError(Exception):
    """The environment could not be made. Says why, and on the next line what to do."""


class Step(enum.Enum):
    """What to do with the environment's folder as it was found."""

    KEEP = "keep"
    INSTALL = "install"
    REMAKE = "remake"
    REFUSE = "refuse"


@dataclass(frozen=True)
class Stamp:
    """What an environment is made from. ``complete`` is false while it is being made."""

    python: str
    root: str
    project: str
    complete: bool


@dataclass(frozen=True)
class Found:
    """The environment's folder as it lies there. ``stamp`` is None when we did not make it."""

    exists: bool
    python_runs: bool
    python: str
    stamp: Stamp | None


def decide(wanted: Stamp, found: Found) -> Step:
    """What to do, given what is wanted and what is there.

    An environment of our own is kept, renewed or made again. One made by hand with this Python is
    installed into, never removed; any other folder of that name is left alone (REFUSE).
    """
    if not found.exists:
        return Step.REMAKE
    if found.stamp is None:
        return Step.INSTALL if found.python_runs and found.python == wanted.python else Step.REFUSE
    if not found.stamp.complete or not found.python_runs:
        return Step.REMAKE
    if (found.stamp.python, found.stamp.root) != (wanted.python, wanted.root):
        return Step.REMAKE
    return Step.KEEP if found.stamp == wanted else Step.INSTALL


def stamp_of(root: Path, *, extras: str, version: Sequence[int]) -> Stamp:
    """The stamp an environment made now would carry. Reads the files named in ``MADE_FROM``."""
    digest = hashlib.sha256(extras.encode())
    for name in MADE_FROM:
        digest.update(b"\0" + (root / name).read_bytes())
    return Stamp(python_name(version), str(root), digest.hexdigest(), complete=True)


def python_name(version: Sequence[int]) -> str:
    """Major and minor version, as in "3.11": what decides whether installed packages still fit."""
    return f"{version[0]}.{version[1]}"


def stamp_from(text: str) -> Stamp | None:
    """The stamp written in a marker file; None when it holds anything else."""
    try:
        told = json.loads(text)
        return Stamp(str(told["python"]), str(told["root"]), str(told["project"]), told["complete"] is True)
    except (ValueError, KeyError, TypeError):
        return None


def python_of_config(text: str) -> str:
    """The Python an environment was made with, from its ``pyvenv.cfg``; empty when it does not say."""
    for line in text.splitlines():
        key, _, value = line.partition("=")
        if key.strip() in ("version", "version_info"):
            return ".".join(value.strip().split(".")[:2])
    return ""


def nightload_command(arguments: Sequence[str], *, at_terminal: bool) -> list[str]:
    """What to run: the arguments as given; without any, the demo, or its answer where no one can press keys.

    ``-P`` keeps a folder called ``logbook`` beside the caller from being taken for ours.
    """
    demo = ["demo"] if at_terminal else ["demo", "--tonight"]
    return ["-P", "-m", "logbook", *(arguments or demo)]


def test_steps(arguments: Sequence[str]) -> list[list[str]]:
    """The modules to run, in order; the quick ones first."""
    return [
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy"],
        ["pytest", "-n", "2", "--dist", "worksteal", *arguments],
    ]


def clean_environ(environ: Mapping[str, str], folder: Path) -> dict[str, str]:
    """The caller's environment without what another Python environment left in it."""
    foreign = {"PYTHONHOME", "PYTHONPATH", "VIRTUAL_ENV", "__PYVENV_LAUNCHER__", "PIP_TARGET", "PIP_USER"}
    kept = {name: value for name, value in environ.items() if name not in foreign}
    return {**kept, "VIRTUAL_ENV": str(folder), "PIP_DISABLE_PIP_VERSION_CHECK": "1"}


def why_pip_failed(output: str) -> str:
    """Pip's failure in two lines: what is wrong, and what to do."""
    last = [line for line in output.splitlines() if line.strip()][-3:]
    if any(sign in output for sign in NETWORK_SIGNS):
        return (
            "The packages could not be fetched: no answer from the package index.\n"
            "Connect to the network once and run this again; afterwards Nightload needs none.\n"
            + "\n".join("  pip: " + line.strip() for line in last)
        )
    if "No space left" in output:
        return "The disk is full.\nFree about 400 MB and run this again."
    return (
        "The packages could not be installed.\nRead what pip said, mend it, and run this again:\n"
        + "\n".join("  pip: " + line.strip() for line in output.splitlines()[-12:])
    )


def no_pip_message(python: str, executable: str) -> str:
    """What to do about a Python that comes without the means to make environments."""
    return (
        f"This Python ({executable}) cannot make an environment: it came without venv or pip.\n"
        f"Install them (on Debian and its kin: sudo apt install python{python}-venv), then run this again."
    )


# From here on things are done.


def ready(name: str, *, extras: str, root: Path = ROOT) -> Path:
    """The Python of the environment ``name`` under ``root``, made or renewed first if it must be.

    Two callers at once: the second waits for the first. Raises SetUpError.
    """
    folder = root / name
    wanted = stamp_of(root, extras=extras, version=sys.version_info)
    if decide(wanted, look(folder)) is Step.KEEP:
        return python_in(folder)
    with alone(root / ".venv-locks" / f"{name}.lock"):
        step = decide(wanted, look(folder))
        if step is Step.REFUSE:
            raise SetUpError(
                f"{folder} is there already, and not made by this script with Python {wanted.python}.\n"
                "Move it away or remove it, then run this again."
            )
        if step is Step.REMAKE:
            say(f"Making {name} with Python {wanted.python} (once, takes about a minute) ...")
            make(folder, wanted)
        if step is Step.INSTALL:
            say(f"Renewing {name} ...")
        if step is not Step.KEEP:
            install(folder, root, extras)
            write_stamp(folder, wanted)
    return python_in(folder)


def look(folder: Path) -> Found:
    """The environment's folder as it is."""
    python = python_in(folder)
    return Found(
        exists=folder.exists() or folder.is_symlink(),
        python_runs=python.exists(),
        python=python_of_config(text_of(folder / "pyvenv.cfg")),
        stamp=stamp_from(text_of(folder / MARKER)),
    )


def text_of(path: Path) -> str:
    """A file's text; empty when it cannot be read."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""


def python_in(folder: Path) -> Path:
    """Where an environment keeps its Python on this system."""
    return folder / "Scripts" / "python.exe" if os.name == "nt" else folder / "bin" / "python"


def make(folder: Path, wanted: Stamp) -> None:
    """A new, empty environment in ``folder``; what lay there is removed. Raises SetUpError.

    Marked incomplete first: when this is cut short the next caller starts anew.
    """
    new_folder(folder, wanted)
    plain = captured([sys.executable, "-m", "venv", str(folder)], folder)
    if plain.returncode == 0:
        return
    new_folder(folder, wanted)  # without ensurepip the call leaves debris
    bare = captured([sys.executable, "-m", "venv", "--without-pip", str(folder)], folder)
    if bare.returncode == 0 and importlib.util.find_spec("pip") is not None:
        return
    shutil.rmtree(folder, ignore_errors=True)
    if "No space left" in plain.stdout:
        raise SetUpError(why_pip_failed(plain.stdout))
    raise SetUpError(no_pip_message(wanted.python, sys.executable))


def new_folder(folder: Path, wanted: Stamp) -> None:
    """Empty ``folder``, marked as being made."""
    try:
        if folder.exists():
            shutil.rmtree(folder)
        folder.mkdir(parents=True)
        write_stamp(folder, Stamp(wanted.python, wanted.root, wanted.project, complete=False))
    except OSError as problem:
        raise SetUpError(
            f"{folder} cannot be written: {problem.strerror}.\n"
            "Put the project where you may write, then run this again."
        ) from problem


def write_stamp(folder: Path, stamp: Stamp) -> None:
    """Say in the environment what it was made from; whole or not at all."""
    fresh = folder / (MARKER + ".new")
    fresh.write_text(json.dumps(asdict(stamp), indent=1) + "\n", encoding="utf-8")
    fresh.replace(folder / MARKER)


def install(folder: Path, root: Path, extras: str) -> None:
    """Install the project from ``root`` into the environment, editable. Raises SetUpError."""
    python = python_in(folder)
    own_pip = captured([str(python), "-m", "pip", "--version"], folder).returncode == 0
    pip = [str(python), "-m", "pip"] if own_pip else [sys.executable, "-m", "pip", "--python", str(python)]
    what = f"{root}[{extras}]" if extras else str(root)
    asked = ["--quiet", "--retries", PIP_RETRIES, "--constraint", str(root / "scripts" / "constraints.txt")]
    done = captured([*pip, "install", *asked, "--editable", what], folder)
    if done.returncode:
        raise SetUpError(why_pip_failed(done.stdout))


def captured(command: Sequence[str], folder: Path) -> subprocess.CompletedProcess[str]:
    """Run to the end, with everything it says as text."""
    return subprocess.run(
        command,
        env=clean_environ(os.environ, folder),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        check=False,
    )


def run(python: Path, arguments: Sequence[str]) -> int:
    """Run the environment's Python at the project's root; its exit code."""
    environ = clean_environ(os.environ, python.parent.parent)
    return subprocess.run([str(python), *arguments], env=environ, cwd=ROOT, check=False).returncode


def become(python: Path, arguments: Sequence[str]) -> int:
    """Hand this process over to the environment's Python, where the caller stands.

    Returns only on Windows, which cannot hand over: with the exit code.
    """
    environ = clean_environ(os.environ, python.parent.parent)
    command = [str(python), *arguments]
    if os.name != "nt":
        sys.stdout.flush()
        os.execve(command[0], command, environ)
    return subprocess.run(command, env=environ, check=False).returncode


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """Hold the lock in ``path``, waiting for whoever has it. The system lets go of it if we are killed."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = path.open("a+b")
    except OSError as problem:
        raise SetUpError(
            f"{path.parent} cannot be written: {problem.strerror}.\n"
            "Put the project where you may write, then run this again."
        ) from problem
    with handle:
        lock(handle.fileno())
        yield


def lock(descriptor: int) -> None:
    """Wait until no other process holds this file."""
    if os.name != "nt":
        import fcntl  # noqa: PLC0415 - not on Windows

        fcntl.flock(descriptor, fcntl.LOCK_EX)
        return
    import msvcrt  # noqa: PLC0415 - only on Windows

    while True:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_LOCK, 1)
        except OSError:  # it gives up after 10 s
            continue
        return


def say(line: str) -> None:
    """Tell the person what takes so long; standard output stays for the answer."""
    print(line, file=sys.stderr, flush=True)
