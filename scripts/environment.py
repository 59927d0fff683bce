"""Makes and keeps the project's own environments, with Python's standard library alone.

The part that decides (what to do with the folder found, what to say when it fails) is pure and
stands first; the part that does it follows. ``start.py`` uses ``.venv``, ``test.py`` ``.venv-test``.
"""

from __future__ import annotations

import enum
import errno
import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from set_up_words import elsewhere_message, no_pip_message, why_not_written, why_pip_failed

ROOT = Path(__file__).resolve().parent.parent
MARKER = "made-from.json"
"""Lies in each environment: what it was made from, and whether making it came to an end."""

LOCKED = "scripts/locked"
"""Exact versions with their hashes, one file for each part of the work."""

PARTS = ("source", "run", "build", "dev", "bench")
"""The files in ``LOCKED``; each names the one before it."""

LOCK_FOR = {"": "build", "dev": "dev", "dev,bench": "bench"}
"""Which of them an environment is made from, by the extras of pyproject.toml it is for."""

MADE_FROM = ("pyproject.toml", *(f"{LOCKED}/{part}.txt" for part in PARTS))
"""A change in one of these makes an environment stale."""

PIP_RETRIES = "2"
"""Pip's own 5 keep a person without network waiting for most of a minute."""

FOREIGN = frozenset(
    (
        *("PYTHONHOME", "PYTHONPATH", "PYTHONSTARTUP", "PYTHONUSERBASE", "PYTHONPLATLIBDIR"),
        *("VIRTUAL_ENV", "CONDA_PREFIX", "__PYVENV_LAUNCHER__"),
        *("PIP_TARGET", "PIP_USER", "PIP_PREFIX", "PIP_ROOT", "PIP_PYTHON", "PIP_REQUIREMENT"),
        *("PIP_CONSTRAINT", "PIP_NO_BINARY", "PIP_DRY_RUN", "PIP_REQUIRE_HASHES", "PIP_EDITABLE"),
    )
)
"""What points an installation elsewhere than into the environment at hand, or changes what is installed.
Where the index is, and how to reach it, stays as it was set."""

LAST_SAY = ("--no-user", "--target=")
"""The same for what stands in a pip.conf: a word of the command has the last say. An empty ``--prefix`` or
``--root`` would not take theirs back but install where the caller stands; ``has_project`` sees to those."""


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
    kept = {name: value for name, value in environ.items() if name not in FOREIGN}
    return {**kept, "VIRTUAL_ENV": str(folder), "PIP_DISABLE_PIP_VERSION_CHECK": "1"}


# From here on things are done.


def ready(name: str, *, extras: str, root: Path = ROOT) -> Path:
    """The Python of the environment ``name`` for ``root``, made or renewed first if it must be.

    It lies in ``root``, or where that cannot be written, in the user's cache folder.
    Two callers at once: the second waits for the first. Raises SetUpError.
    """
    wanted = stamp_of(root, extras=extras, version=sys.version_info)
    folder = home_of(name, root, wanted)
    if decide(wanted, look(folder)) is Step.KEEP:
        return python_in(folder)
    with alone(folder.parent / ".venv-locks" / f"{name}.lock"):
        step = decide(wanted, look(folder))
        if step is Step.REFUSE:
            raise SetUpError(
                f"{folder} is there already, and not made by this script with Python {wanted.python}.\n"
                "Move it away or remove it, then run this again."
            )
        if step is Step.REMAKE:
            where = name if folder.parent == root else str(folder)
            say(f"Making {where} with Python {wanted.python} (once, takes about a minute) ...")
            make(folder, wanted)
        if step is Step.INSTALL:
            say(f"Renewing {name} ...")
        if step is not Step.KEEP:
            install(folder, root, extras)
            written(folder, wanted)
    return python_in(folder)


def home_of(name: str, root: Path, wanted: Stamp) -> Path:
    """Where the environment ``name`` lies: in ``root``, or in the cache where ``root`` is read-only."""
    inside = root / name
    if decide(wanted, look(inside)) is Step.KEEP or may_write(root):
        return inside
    return cache_folder(os.environ) / hashlib.sha256(str(root).encode()).hexdigest()[:12] / name


def may_write(folder: Path) -> bool:
    """Whether a file can be made there: tried, since permissions alone don't say."""
    try:
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError as problem:
        return problem.errno == errno.ENOSPC  # full is not read-only, and is said when it comes to it


def cache_folder(environ: Mapping[str, str]) -> Path:
    """Where this system keeps what can be made again; a folder of temporary files where no home is known."""
    for name in ("XDG_CACHE_HOME", "LOCALAPPDATA"):
        if environ.get(name):
            return Path(environ[name]) / "nightload"
    try:
        return Path.home() / ".cache" / "nightload"
    except RuntimeError:
        return Path(tempfile.gettempdir()) / "nightload"


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
        raise SetUpError(why_not_written(folder, problem)) from problem


def written(folder: Path, stamp: Stamp) -> None:
    """Say in the environment that it is whole. Raises SetUpError."""
    try:
        write_stamp(folder, stamp)
    except OSError as problem:
        raise SetUpError(why_not_written(folder, problem)) from problem


def write_stamp(folder: Path, stamp: Stamp) -> None:
    """Say in the environment what it was made from; whole or not at all."""
    fresh = folder / (MARKER + ".new")
    fresh.write_text(json.dumps(asdict(stamp), indent=1) + "\n", encoding="utf-8")
    fresh.replace(folder / MARKER)


def install(folder: Path, root: Path, extras: str) -> None:
    """Install the locked libraries, then the project from ``root``, editable. Raises SetUpError.

    The libraries are held to their hashes, and so is what builds those that come as source: pip would fetch
    the builder of the day for each. The project is built by the locked builder, with no network.
    """
    python = python_in(folder)
    own_pip = captured([str(python), "-m", "pip", "--version"], folder).returncode == 0
    pip = [str(python), "-m", "pip"] if own_pip else [sys.executable, "-m", "pip", "--python", str(python)]
    asked = [*pip, "install", "--quiet", *LAST_SAY]
    held = [*asked, "--retries", PIP_RETRIES, "--require-hashes", "--no-deps"]
    source, lock = (str(root / LOCKED / f"{part}.txt") for part in ("source", LOCK_FOR[extras]))
    for command in (
        [*held, "--only-binary", ":all:", "--requirement", source],
        [*held, "--no-build-isolation", "--requirement", lock],
        [*asked, "--no-index", "--no-deps", "--no-build-isolation", "--editable", str(root)],
    ):
        done = captured(command, folder)
        if done.returncode:
            raise SetUpError(why_pip_failed(done.stdout))
    with_plain_paths(folder, root)
    if not has_project(python, root):
        raise SetUpError(elsewhere_message(str(folder)))


def with_plain_paths(folder: Path, root: Path) -> None:
    """Write the project's path so that Python reads it under any language setting.

    A file of paths is read in the encoding of the locale, and under LC_ALL=C Python 3.11 and 3.12 do not even
    start when one has a letter beyond ASCII in it. A line of Python can say the same in ASCII.
    """
    if str(root).isascii():
        return
    for file in folder.glob("[Ll]ib/**/site-packages/*.pth"):
        if os.fsencode(root) in file.read_bytes():
            file.write_text(f"import sys; sys.path.append({str(root)!a})\n", encoding="ascii")


def has_project(python: Path, root: Path) -> bool:
    """Whether the environment knows the project now: pip may have been told to put it elsewhere."""
    name = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]["name"]
    asked = [str(python), "-c", f"import importlib.metadata as m; m.version({name!r})"]
    return captured(asked, python.parent.parent).returncode == 0


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
        raise SetUpError(why_not_written(path.parent, problem)) from problem
    with handle:
        lock(handle.fileno())
        yield


def lock(descriptor: int) -> None:
    """Wait until no other process holds this file."""
    if os.name != "nt":
        import fcntl  # noqa: PLC0415 - not on Windows

        with suppress(OSError):  # some network drives have no locks: better unguarded than not at all
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
