"""The way in for a newcomer: what the set-up scripts decide and say; no network, nothing installed."""

from __future__ import annotations

import importlib
import importlib.metadata
import itertools
import json
import os
import re
import subprocess
import sys
import threading
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SCRIPTS = ROOT / "scripts"


@pytest.fixture(scope="module")
def environment():
    """The scripts' own module, imported as the scripts import it: by standing beside it."""
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("environment")
    finally:
        sys.path.remove(str(SCRIPTS))


@pytest.fixture
def wanted(environment):
    return environment.Stamp(python="3.11", root="/a b", project="abc", complete=True)


@pytest.fixture
def found(environment, wanted):
    return environment.Found(exists=True, python_runs=True, python="3.11", stamp=wanted)


@pytest.fixture
def project(tmp_path):
    """A folder that looks like the project to the scripts, with a space in its name."""
    root = tmp_path / "with space"
    (root / "scripts").mkdir(parents=True)
    (root / "pyproject.toml").write_text("[project]\nname = 'x'\n", encoding="utf-8")
    (root / "scripts" / "locked").mkdir()
    for part in ("source", "run", "build", "dev", "bench"):
        (root / "scripts" / "locked" / f"{part}.txt").write_text("numpy==2.4.6\n", encoding="utf-8")
    return root


# What to do with the folder as it lies there


def test_nothing_there_is_made(environment, wanted):
    nothing = environment.Found(exists=False, python_runs=False, python="", stamp=None)
    assert environment.decide(wanted, nothing) is environment.Step.REMAKE


def test_nothing_changed_is_kept(environment, wanted, found):
    assert environment.decide(wanted, found) is environment.Step.KEEP


@pytest.mark.parametrize(
    ("change", "step"),
    [
        (
            {"project": "other"},
            "install",
        ),  # pyproject or constraints edited: install over it, a second or two
        ({"python": "3.12"}, "remake"),  # compiled packages fit one minor version only
        ({"root": "/moved"}, "remake"),  # an environment cannot be moved
        ({"complete": False}, "remake"),  # making it was cut short
    ],
)
def test_what_changed_decides(environment, wanted, found, change, step):
    before = replace(found, stamp=replace(wanted, **change))
    assert environment.decide(wanted, before).value == step


def test_a_python_that_is_gone_means_making_it_again(environment, wanted, found):
    assert environment.decide(wanted, replace(found, python_runs=False)) is environment.Step.REMAKE


@pytest.mark.parametrize(
    ("python", "runs", "step"), [("3.11", True, "install"), ("3.10", True, "refuse"), ("", False, "refuse")]
)
def test_what_others_made_is_never_removed(environment, wanted, python, runs, step):
    theirs = environment.Found(exists=True, python_runs=runs, python=python, stamp=None)
    assert environment.decide(wanted, theirs).value == step


def test_the_stamp_follows_every_file_it_is_made_from(environment, project):
    first = environment.stamp_of(project, extras="", version=(3, 11, 7))
    assert environment.stamp_of(project, extras="", version=(3, 11, 9)) == first  # a patch needs nothing new
    assert environment.stamp_of(project, extras="dev", version=(3, 11, 7)) != first
    assert environment.stamp_of(project, extras="", version=(3, 12, 1)) != first
    for name in environment.MADE_FROM:
        (project / name).write_text("changed\n", encoding="utf-8")
        changed = environment.stamp_of(project, extras="", version=(3, 11, 7))
        assert changed != first, name
        first = changed


def test_a_stamp_is_read_back_as_written(environment, wanted, tmp_path):
    environment.write_stamp(tmp_path, wanted)
    assert environment.stamp_from((tmp_path / environment.MARKER).read_text(encoding="utf-8")) == wanted


@pytest.mark.parametrize("text", ["", "{", "[]", '{"python": "3.11"}', "null"])
def test_a_damaged_stamp_counts_as_none(environment, text):
    assert environment.stamp_from(text) is None


@pytest.mark.parametrize(
    ("text", "python"),
    [
        ("home = /usr/bin\nversion = 3.11.7\n", "3.11"),  # what venv writes
        ("version_info = 3.12.1.final.0\n", "3.12"),  # what another maker writes
        ("", ""),
    ],
)
def test_the_version_of_an_environment_is_read(environment, text, python):
    assert environment.python_of_config(text) == python


# What is run


def test_without_arguments_the_demo_opens(environment):
    assert environment.nightload_command([], at_terminal=True)[-2:] == ["logbook", "demo"]
    assert environment.nightload_command([], at_terminal=False)[-2:] == ["demo", "--tonight"]


def test_arguments_pass_through_as_they_are(environment):
    given = ["note", "-12/18", "--log", "my log.db"]
    assert environment.nightload_command(given, at_terminal=False)[-4:] == given


def test_the_steps_are_lint_format_types_tests(environment):
    steps = environment.test_steps(["-k", "wood"])
    assert [step[0] for step in steps] == ["ruff", "ruff", "mypy", "pytest"]
    assert steps[-1][-2:] == ["-k", "wood"]
    assert "--check" in steps[1]  # a build must not mend what it judges


def test_another_environment_leaves_no_trace(environment, tmp_path):
    theirs = {
        "VIRTUAL_ENV": "/theirs",
        "PYTHONPATH": "/x",
        "PYTHONHOME": "/y",
        "LANG": "C",
        "PIP_TARGET": "/z",
    }
    clean = environment.clean_environ(theirs, tmp_path)
    assert clean["VIRTUAL_ENV"] == str(tmp_path)
    assert clean["LANG"] == "C"
    assert not {"PYTHONPATH", "PYTHONHOME", "PIP_TARGET"} & set(clean)


# What is said


def test_no_network_is_called_by_its_name(environment):
    said = environment.why_pip_failed(
        "WARNING: Retrying after connection broken by 'NewConnectionError(...)'\n"
        "ERROR: Could not find a version that satisfies the requirement setuptools>=77\n"
    )
    assert "no answer from the package index" in said.splitlines()[0]
    assert "Connect to the network" in said.splitlines()[1]


def test_another_failure_shows_what_pip_said(environment):
    said = environment.why_pip_failed("ERROR: Cannot install numpy==1 and numpy==2\n")
    assert "numpy==1" in said
    assert "network" not in said


def test_a_python_without_pip_names_the_package_to_install(environment):
    said = environment.no_pip_message("3.12", "/usr/bin/python3")
    assert "/usr/bin/python3" in said
    assert "python3.12-venv" in said


def test_an_old_python_is_told_what_to_do():
    """The first file an old Python reads must not fail by its syntax; it says what is needed."""
    script = (
        "import sys; sys.path.insert(0, sys.argv[1]); sys.version_info = (3, 8, 1)\n"
        "from python_version import stop_if_too_old; stop_if_too_old(); print('went on')"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(SCRIPTS)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert "3.8.1" in done.stderr
    assert "3.11 or newer" in done.stderr
    assert "went on" not in done.stdout


@pytest.mark.parametrize("name", ["start.py", "test.py", "python_version.py"])
def test_what_an_old_python_reads_is_written_for_it(name):
    """No syntax newer than Python 2.7, as far as can be told, in what is read before the version is asked."""
    import ast  # noqa: PLC0415 - used here only

    tree = ast.parse((SCRIPTS / name).read_text(encoding="utf-8"), feature_version=(3, 6))
    top = [alias.name for node in tree.body if isinstance(node, ast.Import) for alias in node.names]
    top += [node.module for node in tree.body if isinstance(node, ast.ImportFrom)]
    assert set(top) <= {"sys", "python_version"}
    newer = (ast.JoinedStr, ast.AnnAssign, ast.AsyncFunctionDef, ast.Nonlocal, ast.NamedExpr, ast.YieldFrom)
    for node in ast.walk(tree):
        assert not isinstance(node, newer), (name, ast.dump(node))
        if isinstance(node, ast.FunctionDef):
            told = [node.returns, *(arg.annotation for arg in (*node.args.args, *node.args.kwonlyargs))]
            assert not any(told), name
            assert not node.args.kwonlyargs, name
        if isinstance(node, ast.List | ast.Tuple):
            assert not any(isinstance(one, ast.Starred) for one in node.elts), name
        if isinstance(node, ast.Call):
            assert ast.unparse(node.func) != "print", name  # a statement there


# What is done, without installing anything


def pretend(environment, monkeypatch, *, fails=0):
    """Leave out the parts that need a network; returns what was called. ``fails`` makes that many fail."""
    calls = []

    def make(folder, wanted):
        environment.new_folder(folder, wanted)
        python = environment.python_in(folder)
        python.parent.mkdir(parents=True)
        python.write_text("", encoding="utf-8")
        calls.append("make")

    def install(folder, root, extras):
        calls.append("install")
        if calls.count("install") <= fails:
            raise environment.SetUpError("no network")

    monkeypatch.setattr(environment, "make", make)
    monkeypatch.setattr(environment, "install", install)
    return calls


def test_the_second_start_does_nothing(environment, project, monkeypatch, capsys):
    calls = pretend(environment, monkeypatch)
    python = environment.ready(".venv", extras="", root=project)
    assert calls == ["make", "install"]
    assert "Making .venv" in capsys.readouterr().err  # standard output stays for the answer
    monkeypatch.setattr(environment, "alone", None)  # nor does it wait for, or write, anything
    assert environment.ready(".venv", extras="", root=project) == python
    assert calls == ["make", "install"]


def test_edited_requirements_are_installed_over_it(environment, project, monkeypatch):
    calls = pretend(environment, monkeypatch)
    environment.ready(".venv", extras="", root=project)
    (project / "pyproject.toml").write_text("[project]\nname = 'y'\n", encoding="utf-8")
    environment.ready(".venv", extras="", root=project)
    assert calls == ["make", "install", "install"]


def test_after_a_failure_the_next_start_begins_anew(environment, project, monkeypatch):
    calls = pretend(environment, monkeypatch, fails=1)
    with pytest.raises(environment.SetUpError):
        environment.ready(".venv", extras="", root=project)
    environment.ready(".venv", extras="", root=project)
    assert calls == ["make", "install", "make", "install"]


def test_a_folder_of_someone_else_is_left_alone(environment, project, monkeypatch):
    calls = pretend(environment, monkeypatch)
    (project / ".venv").mkdir()
    (project / ".venv" / "thesis.txt").write_text("only copy", encoding="utf-8")
    with pytest.raises(environment.SetUpError, match=r"Move it away"):
        environment.ready(".venv", extras="", root=project)
    assert calls == []
    assert (project / ".venv" / "thesis.txt").read_text(encoding="utf-8") == "only copy"


def test_two_at_once_make_it_once(environment, project, monkeypatch):
    calls = pretend(environment, monkeypatch)
    both_came = threading.Barrier(2)
    alone = environment.alone

    def alone_after_both(path):
        both_came.wait(timeout=30)
        return alone(path)

    monkeypatch.setattr(environment, "alone", alone_after_both)
    both = [
        threading.Thread(target=environment.ready, args=(".venv",), kwargs={"extras": "", "root": project})
        for _ in range(2)
    ]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert calls == ["make", "install"]


def test_without_ensurepip_nothing_is_left_behind(environment, project, monkeypatch, wanted):
    """Both ways of making it fail, as where Python comes without venv: name the package, clean up."""

    def fails(command, folder):
        (folder / "debris").write_text("", encoding="utf-8")
        return subprocess.CompletedProcess(command, 1, stdout="ensurepip is not available")

    monkeypatch.setattr(environment, "captured", fails)
    with pytest.raises(environment.SetUpError, match=r"apt install python3\.11-venv"):
        environment.make(project / ".venv", wanted)
    assert not (project / ".venv").exists()


def test_without_ensurepip_the_system_pip_installs(environment, project, monkeypatch, wanted):
    commands = []

    def only_bare(command, folder):
        commands.append(command)
        own_pip = "venv" in command and "--without-pip" not in command
        asks_own = command[0] == str(environment.python_in(folder)) and "--version" in command
        return subprocess.CompletedProcess(command, int(own_pip or asks_own), stdout="")

    monkeypatch.setattr(environment, "captured", only_bare)
    environment.make(project / ".venv", wanted)
    environment.install(project / ".venv", project, "")
    installing = [command for command in commands if "install" in command]
    assert installing[-1][:3] == [sys.executable, "-m", "pip"]
    assert installing[-1][3:5] == ["--python", str(environment.python_in(project / ".venv"))]


# The files beside them


@pytest.fixture(scope="module")
def locked():
    """The module that reads the locked versions."""
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module("making.locked")
    finally:
        sys.path.remove(str(SCRIPTS))


def test_every_dependency_is_pinned_exactly(locked):
    told = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    extras = told["project"]["optional-dependencies"]
    for part, asked in (
        ("source", told["dependency-groups"]["source"]),
        ("run", told["project"]["dependencies"]),
        ("build", told["build-system"]["requires"]),
        ("dev", extras["dev"]),
        ("bench", extras["bench"]),
    ):
        names = {locked.plain_name(re.match(r"[\w.-]+", one).group()) for one in asked}
        assert names <= set(locked.pins(part)), part


def test_the_locked_versions_are_complete(locked):
    """With what each library says it needs here, so that installing them asks for nothing more."""
    from packaging.requirements import Requirement  # noqa: PLC0415 - used here only

    every = locked.pins("dev")
    for name in every:
        try:
            needed = importlib.metadata.requires(name) or []
        except importlib.metadata.PackageNotFoundError:
            continue  # for another system
        for requirement in map(Requirement, needed):
            if requirement.marker is None or requirement.marker.evaluate({"extra": ""}):
                wanted = locked.plain_name(requirement.name)
                assert wanted in every or wanted == "pip", f"{name} needs {wanted}: run scripts/lock.py"
                assert wanted == "pip" or requirement.specifier.contains(every[wanted]), (name, requirement)


def test_every_locked_version_has_its_hashes_and_no_address(locked):
    """A file changed on the way is refused; where the index is stays the owner's own setting."""
    for part in locked.PARTS:
        text = (locked.FOLDER / f"{part}.txt").read_text(encoding="utf-8")
        found = locked.blocks(text)
        assert found
        assert all("--hash=sha256:" in lines for lines in found.values()), part
        assert "://" not in text
        assert "index" not in text


def test_each_locked_part_stands_on_the_one_before(locked, environment):
    assert environment.PARTS == locked.PARTS
    for before, part in itertools.pairwise(locked.PARTS):
        assert f"-r {before}.txt\n" in (locked.FOLDER / f"{part}.txt").read_text(encoding="utf-8")
        assert not set(locked.pins(before)) & set(locked.pins(part, alone=True))


def test_an_upper_bound_has_its_reason():
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    bounded = [line for line in text.splitlines() if re.match(r'\s+"[\w-]+[^"]*<', line)]
    assert bounded
    assert all(re.search(r"# .*below \d", line) for line in bounded), bounded


def test_the_build_runs_what_a_contributor_runs():
    run = ROOT / ".ci" / "run"
    assert "python3 scripts/test.py" in run.read_text(encoding="utf-8")
    assert os.access(run, os.X_OK)


def test_the_marker_is_plain_to_read(environment, wanted, tmp_path):
    environment.write_stamp(tmp_path, wanted)
    told = json.loads((tmp_path / environment.MARKER).read_text(encoding="utf-8"))
    assert told["python"] == "3.11"
    assert [path.name for path in tmp_path.iterdir()] == [environment.MARKER]  # no half-written copy stays
