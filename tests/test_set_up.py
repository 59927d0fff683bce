"""The environments made for real, against a package index of our own on this machine that breaks on purpose.

Nothing is fetched from elsewhere: the one library is made here, the project builds itself.
"""

from __future__ import annotations

import base64
import errno
import hashlib
import importlib
import io
import os
import random
import subprocess
import sys
import tarfile
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

SCRIPTS = Path(__file__).resolve().parents[1] / "scripts"

BUILDER = """
import base64, hashlib, pathlib, zipfile
def _wheel(folder, extra):
    name = "cabin-1.0-py3-none-any.whl"
    files = {
        "cabin.pth": str(pathlib.Path(__file__).parent) + "\\n",
        "cabin-1.0.dist-info/METADATA": "Metadata-Version: 2.1\\nName: cabin\\nVersion: 1.0\\n",
        "cabin-1.0.dist-info/WHEEL": "Wheel-Version: 1.0\\nRoot-Is-Purelib: true\\nTag: py3-none-any\\n",
    }
    with zipfile.ZipFile(pathlib.Path(folder) / name, "w") as out:
        for path, text in files.items():
            out.writestr(path, text)
        out.writestr("cabin-1.0.dist-info/RECORD", "".join(f"{path},,\\n" for path in files))
    return name
def build_editable(folder, config_settings=None, metadata_directory=None):
    return _wheel(folder, None)
"""
"""A builder that needs nothing: an editable wheel is a file with a path in it."""

PROJECT = """[build-system]
requires = []
build-backend = "builder"
backend-path = ["."]
[project]
name = "cabin"
version = "1.0"
"""


def library() -> bytes:
    """A wheel of a third of a megabyte that can't be packed smaller, so that it can break in the middle."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as wheel:
        files = {
            "log_splitter.py": b"BLOB = '" + base64.b64encode(random.Random(7).randbytes(250_000)) + b"'\n",
            "log_splitter-1.0.dist-info/METADATA": b"Metadata-Version: 2.1\nName: log-splitter\n"
            b"Version: 1.0\n",
            "log_splitter-1.0.dist-info/WHEEL": b"Wheel-Version: 1.0\nGenerator: x\nRoot-Is-Purelib: true\n"
            b"Tag: py3-none-any\n",
        }
        for name, text in files.items():
            wheel.writestr(zipfile.ZipInfo(name), text)
        record = zipfile.ZipInfo("log_splitter-1.0.dist-info/RECORD")
        wheel.writestr(record, "".join(f"{name},,\n" for name in files))
    return out.getvalue()


WHEEL = library()
WHEEL_NAME = "log_splitter-1.0-py3-none-any.whl"


class Index(BaseHTTPRequestHandler):
    """A package index with one library. ``server.mood``: "well", "breaks" in mid-file, or "changed" bytes."""

    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        self.server.asked += 1
        if self.path.endswith(WHEEL_NAME):
            self.send_wheel()
        else:
            page = f'<!DOCTYPE html><a href="/{WHEEL_NAME}">{WHEEL_NAME}</a>'.encode()
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.send_header("Content-Length", str(len(page)))
            self.end_headers()
            self.wfile.write(page)

    def send_wheel(self) -> None:
        """Whole, or only as far as the mood lets it."""
        self.send_response(200)
        self.send_header("Content-Type", "application/zip")
        self.send_header("Content-Length", str(len(WHEEL)))
        self.end_headers()
        mood = self.server.mood
        if mood == "breaks":
            self.wfile.write(WHEEL[: len(WHEEL) // 2])
            self.close_connection = True
        else:
            self.wfile.write(WHEEL if mood == "well" else WHEEL[:-1] + b"?")

    def log_message(self, *_args: object) -> None:
        """Nothing on the test's screen."""


@contextmanager
def index() -> Iterator[ThreadingHTTPServer]:
    with ThreadingHTTPServer(("127.0.0.1", 0), Index) as server:
        server.mood, server.asked = "well", 0
        threading.Thread(target=partial(server.serve_forever, poll_interval=0.02), daemon=True).start()
        yield server
        server.shutdown()


@pytest.fixture(scope="module")
def environment():
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("environment")
    finally:
        sys.path.remove(str(SCRIPTS))


def lay(root: Path) -> Path:
    """A project in ``root`` that is locked to the one library."""
    (root / "scripts" / "locked").mkdir(parents=True)
    (root / "pyproject.toml").write_text(PROJECT, encoding="utf-8")
    (root / "builder.py").write_text(BUILDER, encoding="utf-8")
    pin = f"log-splitter==1.0 --hash=sha256:{hashlib.sha256(WHEEL).hexdigest()}\n"
    for part in ("source", "run", "build", "dev", "bench"):
        (root / "scripts" / "locked" / f"{part}.txt").write_text(pin, encoding="utf-8")
    return root


@pytest.fixture
def server(monkeypatch, tmp_path) -> Iterator[ThreadingHTTPServer]:
    """The index, and an environment of variables in which it is the only one."""
    for name in [name for name in os.environ if name.startswith("PIP_")]:
        monkeypatch.delenv(name)
    with index() as one:
        monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
        monkeypatch.setenv("PIP_INDEX_URL", f"http://127.0.0.1:{one.server_address[1]}/simple")
        monkeypatch.setenv("PIP_CACHE_DIR", str(tmp_path / "pip"))
        monkeypatch.setenv("no_proxy", "*")
        yield one


@pytest.fixture
def quick(environment, monkeypatch):
    """Environments without a pip of their own, as where ensurepip is missing: three seconds less each."""

    def bare(folder, wanted):
        environment.new_folder(folder, wanted)
        made = environment.captured([sys.executable, "-m", "venv", "--without-pip", str(folder)], folder)
        assert made.returncode == 0, made.stdout

    monkeypatch.setattr(environment, "make", bare)
    monkeypatch.setattr(environment, "PIP_RETRIES", "0")


def has_library(python: Path) -> bool:
    done = subprocess.run([str(python), "-c", "import log_splitter"], capture_output=True, check=False)
    return done.returncode == 0


def test_a_network_that_stops_half_way_is_said_and_a_second_run_finishes(
    environment, server, tmp_path, monkeypatch, quick
):
    """In a folder with a space and signs beyond ASCII, with another environment's marks and no home set."""
    root = lay(tmp_path / "Hütte am See" / "läger" / ("x" * 100))
    for name, value in {
        "LC_ALL": "C",
        "PYTHONPATH": "/nowhere", "VIRTUAL_ENV": "/theirs", "CONDA_PREFIX": "/conda", "PIP_USER": "1",
        "PIP_TARGET": "/nowhere", "PIP_PREFIX": "/nowhere", "PIP_CONSTRAINT": "/nowhere",
    }.items():  # fmt: skip
        monkeypatch.setenv(name, value)
    monkeypatch.delenv("HOME", raising=False)
    server.mood = "breaks"
    with pytest.raises(environment.SetUpError) as told:
        environment.ready(".venv", extras="", root=root)
    first, second = str(told.value).splitlines()[:2]
    assert first in (
        "The network stopped half-way through a package.",
        "A package that came is not the one this was tried with: cut short on the way, or changed.",
    )
    assert second.startswith("Run this again")
    server.mood = "well"
    python = environment.ready(".venv", extras="", root=root)
    assert python.is_relative_to(root)
    monkeypatch.delenv("PYTHONPATH")
    assert has_library(python)
    reached = [str(python), "-c", "import builder; print(ascii(builder.__file__))"]
    assert environment.captured(reached, root / ".venv").stdout.strip() == ascii(str(root / "builder.py"))
    asked = server.asked
    server.shutdown()
    assert environment.ready(".venv", extras="", root=root) == python  # a later start needs no network
    assert server.asked == asked


def test_a_package_that_was_changed_is_refused_and_odd_settings_do_not_lead_away(
    environment, server, tmp_path, monkeypatch, quick
):
    root = lay(tmp_path / "project")
    odd = tmp_path / "pip.conf"
    odd.write_text(
        "[global]\nretries = 0\n[install]\nuser = yes\ntarget = /nowhere\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("PIP_CONFIG_FILE", str(odd))
    server.mood = "changed"
    with pytest.raises(environment.SetUpError, match="not the one this was tried with"):
        environment.ready(".venv", extras="", root=root)
    server.mood = "well"
    assert has_library(environment.ready(".venv", extras="", root=root))


def as_source(folder: Path) -> Path:
    """A library that comes as source: asks for a builder nobody has, and builds with the locked one."""
    backend = BUILDER.replace("cabin", "kindling") + "build_wheel = build_editable\nimport log_splitter\n"
    asks = 'requires = ["builder-of-the-day"]'
    project = PROJECT.replace("cabin", "kindling").replace("requires = []", asks)
    path = folder / "kindling-1.0.tar.gz"
    with tarfile.open(path, "w:gz") as sdist:
        for name, text in (("pyproject.toml", project), ("builder.py", backend)):
            (folder / name).write_text(text, encoding="utf-8")
            sdist.add(folder / name, f"kindling-1.0/{name}")
    return path


def test_a_library_that_comes_as_source_is_built_by_the_locked_builder(environment, server, tmp_path, quick):
    root, path = lay(tmp_path / "project"), as_source(tmp_path)
    pin = f"kindling @ {path.as_uri()} --hash=sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}\n"
    (root / "scripts" / "locked" / "build.txt").write_text("-r source.txt\n" + pin, encoding="utf-8")
    python = environment.ready(".venv", extras="", root=root)
    asked = "import importlib.metadata as m; print(m.version('kindling'))"
    assert environment.captured([str(python), "-c", asked], root / ".venv").stdout.strip() == "1.0"


def test_packages_put_elsewhere_by_a_setting_are_noticed(environment, server, tmp_path, monkeypatch, quick):
    root = lay(tmp_path / "project")
    odd = tmp_path / "pip.conf"
    odd.write_text(f"[install]\nprefix = {tmp_path / 'elsewhere'}\n", encoding="utf-8")
    monkeypatch.setenv("PIP_CONFIG_FILE", str(odd))
    with pytest.raises(environment.SetUpError, match=r"somewhere else .*\n.*pip config list"):
        environment.ready(".venv", extras="", root=root)


# Where it cannot be written


def test_a_project_that_cannot_be_written_has_its_environment_in_the_cache(
    environment, tmp_path, monkeypatch, capsys
):
    root = lay(tmp_path / "on a disc")
    monkeypatch.setattr(environment, "may_write", lambda folder: False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    made = []

    def make(folder, wanted):
        environment.new_folder(folder, wanted)
        environment.python_in(folder).parent.mkdir(parents=True)
        environment.python_in(folder).write_text("", encoding="utf-8")
        made.append(folder)

    monkeypatch.setattr(environment, "make", make)
    monkeypatch.setattr(environment, "install", lambda folder, root, extras: None)
    before = sorted(root.rglob("*"))
    python = environment.ready(".venv", extras="", root=root)
    assert python.is_relative_to(tmp_path / "cache" / "nightload")
    assert sorted(root.rglob("*")) == before
    assert str(made[0]) in capsys.readouterr().err  # it says where it is made
    other = lay(tmp_path / "another disc")
    assert not environment.ready(".venv", extras="", root=other).is_relative_to(made[0])
    assert environment.ready(".venv", extras="", root=root) == python
    assert len(made) == 2


def test_one_made_before_it_became_read_only_is_used(environment, tmp_path, monkeypatch):
    root = lay(tmp_path / "project")
    wanted = environment.stamp_of(root, extras="", version=sys.version_info)
    environment.new_folder(root / ".venv", wanted)
    environment.write_stamp(root / ".venv", wanted)
    python = environment.python_in(root / ".venv")
    python.parent.mkdir(parents=True)
    python.write_text("", encoding="utf-8")
    monkeypatch.setattr(environment, "may_write", lambda folder: False)
    assert environment.ready(".venv", extras="", root=root) == python


@pytest.mark.parametrize(
    ("environ", "ends"),
    [
        ({"XDG_CACHE_HOME": "/c"}, "/c/nightload"),
        ({"LOCALAPPDATA": "/l"}, "/l/nightload"),
    ],
)
def test_the_cache_is_where_the_system_says(environment, environ, ends):
    assert environment.cache_folder(environ) == Path(ends)


def test_without_a_home_the_cache_is_among_temporary_files(environment, monkeypatch):
    def no_home():
        raise RuntimeError

    monkeypatch.setattr(Path, "home", no_home)
    assert environment.cache_folder({}).name == "nightload"


def test_a_full_disk_is_called_by_its_name(environment, tmp_path, monkeypatch):
    def full(*_args, **_kwargs):
        raise OSError(errno.ENOSPC, "No space left on device")

    root = lay(tmp_path / "project")
    monkeypatch.setattr(Path, "mkdir", full)
    with pytest.raises(environment.SetUpError, match=r"The disk is full\.\nFree about 400 MB"):
        environment.ready(".venv", extras="", root=root)


def test_what_is_no_folder_to_write_in_is_told_from_a_full_disk(environment, tmp_path):
    assert environment.may_write(tmp_path)
    assert not environment.may_write(tmp_path / "not there")


def test_a_drive_without_locks_goes_on_without(environment, tmp_path, monkeypatch):
    fcntl = pytest.importorskip("fcntl")  # another lock is used on Windows

    def no_locks(_descriptor, _how):
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", no_locks)
    with environment.alone(tmp_path / "locks" / "one"):
        pass


@pytest.mark.parametrize("name", ["start", "test"])
def test_stopped_by_ctrl_c_says_how_to_go_on(environment, name, monkeypatch, capsys):
    sys.path.insert(0, str(SCRIPTS))
    try:
        script = importlib.import_module(f"{name}")
    finally:
        sys.path.remove(str(SCRIPTS))

    def stopped(*_args, **_kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr(environment, "ready", stopped)
    assert script.main([]) == 130
    assert capsys.readouterr().err == "Stopped. Run it again to finish what it began.\n"


# What is said, by what pip says


@pytest.mark.parametrize(
    ("output", "begins"),
    [
        ("urllib3.exceptions.IncompleteRead: IncompleteRead(5 bytes read)", "The network stopped half-way"),
        ("ERROR: Connection broken: ConnectionResetError(104)", "The network stopped half-way"),
        ("error: incomplete-download\n", "The network stopped half-way"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "A package that came"),
        ("ERROR: Could not install: [Errno 28] No space left on device", "The disk is full."),
        (
            "WARNING: Retrying after connection broken by 'NewConnectionError'",
            "The packages could not be fetched",
        ),
        ("ERROR: something else", "The packages could not be installed."),
    ],
)
def test_each_failure_has_its_own_words(output, begins):
    sys.path.insert(0, str(SCRIPTS))
    try:
        words = importlib.import_module("set_up_words")
    finally:
        sys.path.remove(str(SCRIPTS))
    said = words.why_pip_failed(output)
    assert said.startswith(begins)
    assert len(said.splitlines()) >= 2
