"""What is handed over: wheel, sdist, completions, man page, licences, the help of each command."""

from __future__ import annotations

import csv
import importlib
import importlib.metadata
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from logbook.cli import main
from logbook.cli.arguments import Parser, parser
from logbook.cli.told import TOLD
from logbook.heat.fit import MODEL_VERSION
from logbook.store.schema import SCHEMA_VERSION

ROOT = Path(__file__).resolve().parents[1]
SCRIPTS = ROOT / "scripts"
PACKAGE = ROOT / "logbook"

PERMISSIVE = {
    *("MIT", "0BSD", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "ISC", "Zlib", "CC0-1.0", "PSF-2.0"),
    "public domain",
}
"""Licences that ask for their notice to be kept and no more (SPDX identifiers)."""

ONLY_TO_WORK_ON_IT = {"MPL-2.0"}
"""Asks that changes to its own files stay open; none of these files is changed or handed on."""


@pytest.fixture(scope="module")
def script():
    """Imports a module of scripts/ as the scripts do: by standing beside it."""
    sys.path.insert(0, str(SCRIPTS))
    try:
        yield importlib.import_module
    finally:
        sys.path.remove(str(SCRIPTS))


def commands() -> dict[str, Parser]:
    """Every command's parser by name."""
    for action in parser()._actions:
        if action.choices and not action.option_strings:
            return dict(action.choices)
    raise AssertionError("the parser has no commands")


every_command = pytest.mark.parametrize("name", commands())


# What is made from the program is as the program is now


def test_what_is_made_from_the_program_is_up_to_date(script):
    for name, text in script("made").made().items():
        assert (PACKAGE / name).read_text(encoding="utf-8") == text, f"{name}: run python3 scripts/made.py"


# Wheel and sdist


@pytest.fixture(scope="module")
def built(script, tmp_path_factory):
    """The project built twice, as differently as can be."""
    return script("release").built_twice(tmp_path_factory.mktemp("built"))


def test_two_builds_are_the_same_bytes(script, built):
    one, two = built
    assert [path.suffix for path in one] == [".gz", ".whl"]
    assert script("release").differing(one, two) == []


def test_a_build_that_differs_is_noticed(script, tmp_path):
    for name, text in (("a", "1"), ("b", "2")):
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert script("release").differing([tmp_path / "a"], [tmp_path / "b"]) == ["a"]


def committed(folder: str) -> list[str]:
    found = subprocess.run(
        ["git", "-C", str(ROOT), "ls-files", "-z", folder], capture_output=True, text=True, check=False
    )
    return [name for name in found.stdout.split("\0") if name and (ROOT / name).is_file()]


def test_the_wheel_holds_the_whole_package(script, built):
    names = set(script("release").names_in(built[0][1]))
    files = committed("logbook")
    if not files:
        pytest.skip("not a checkout")  # an unpacked archive has no git to ask what is committed
    assert set(files) <= names
    beside = {name for name in names if not name.startswith(("logbook/", "nightload-"))}
    assert not beside
    assert {name.split("/data/")[1] for name in names if ".data/data/" in name} == {
        "share/man/man1/nightload.1",
        "share/bash-completion/completions/nightload",
        "share/zsh/site-functions/_nightload",
        "share/fish/vendor_completions.d/nightload.fish",
    }


def test_the_sdist_holds_what_its_tests_need(script, built):
    names = set(script("release").names_in(built[0][0]))
    files = committed(".")
    if not files:
        pytest.skip("not a checkout")
    assert set(files) <= names


# Version


def test_the_version_says_program_log_and_model(capsys):
    program = importlib.metadata.version("nightload")
    assert main(["--version"]) == 0
    said = capsys.readouterr().out
    assert said == f"nightload {program}, log format {SCHEMA_VERSION}, heat model {MODEL_VERSION}\n"
    assert main(["--version", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told == {"program": program, "log_format": SCHEMA_VERSION, "heat_model": MODEL_VERSION}


def test_the_version_stands_in_one_place():
    program = importlib.metadata.version("nightload")
    holding = [
        path.name
        for path in (*PACKAGE.rglob("*.py"), ROOT / "pyproject.toml")
        if re.search(rf"[\"']{re.escape(program)}[\"']", path.read_text(encoding="utf-8"))
    ]
    assert holding == ["pyproject.toml"]


# Help


@every_command
def test_a_command_s_help_says_its_purpose_an_example_and_the_exit_codes(name):
    assert name in TOLD, f"{name}: a purpose and an example are missing in cli/told.py"
    page = commands()[name].format_help()
    assert TOLD[name].purpose.split()[0] in page
    assert "Exit codes: 0 answered, 1 refused" in page
    assert any(f"nightload {name}" in example for example in TOLD[name].examples)


@every_command
def test_no_argument_is_without_its_help(name):
    for action in commands()[name]._actions:
        assert action.help, (name, action.dest)


UNIT_OF = {"C": "°C", "K": "°C", "PCT": "%"}
"""The unit a value of this name has, to be said in its help."""


@every_command
def test_a_flag_s_value_has_its_unit(name):
    for action in commands()[name]._actions:
        if action.metavar in UNIT_OF:
            assert UNIT_OF[action.metavar] in action.help, (name, action.option_strings)


@every_command
def test_an_example_is_read_by_its_own_command(name):
    """Up to what a shell does with the rest of the line."""
    import shlex  # noqa: PLC0415 - used here only

    from logbook.cli.arguments import sorted_words  # noqa: PLC0415 - used here only

    for example in TOLD[name].examples:
        words = shlex.split(example.split(" > ")[0].split(" && ")[0])
        assert words[0] == "nightload"
        assert parser().parse_args(sorted_words(words[1:])).command in TOLD


@pytest.mark.parametrize("name", ["", *commands()])
def test_help_fits_eighty_columns(name, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    page = (commands()[name] if name else parser()).format_help()
    too_wide = [row for row in page.splitlines() if len(row) > 80 and "  nightload " not in row]
    assert not too_wide
    assert max(map(len, page.splitlines())) <= 90  # a line to be copied is not broken


# The man page


def test_the_man_page_names_every_command_and_flag():
    page = (PACKAGE / "shell" / "nightload.1").read_text(encoding="utf-8").replace("\\-", "-")
    assert page.isascii()  # as formatters of any age read it
    for name, command in commands().items():
        part = page.split(f".SS nightload {name}", 1)[1].split("\n.SS ", 1)[0]
        for action in command._actions:
            assert all(f"\\fB{flag}\\fR" in part for flag in action.option_strings), (name, action)


@pytest.mark.skipif(shutil.which("groff") is None, reason="groff is not installed")
def test_groff_has_nothing_to_warn_of():
    done = subprocess.run(
        ["groff", "-man", "-Tutf8", "-ww", str(PACKAGE / "shell" / "nightload.1")],
        capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0
    if "can't find" not in done.stderr:  # a groff without its devices can't judge
        assert done.stderr == ""
        assert "clean-burn floor" in re.sub(r"\x1b\[[\d;]*m|.\x08", "", done.stdout).replace("\n", " ")


@pytest.mark.parametrize("name", ["manual", "completion bash", "completion zsh", "completion fish"])
def test_what_is_shipped_is_printed_as_it_lies_there(name, capsys):
    words = name.split()
    assert main(words) == 0
    file = f"nightload.{words[1]}" if len(words) > 1 else "nightload.1"
    assert capsys.readouterr().out == (PACKAGE / "shell" / file).read_text(encoding="utf-8")


# Completion, by the shells themselves


WANTED = [
    ("nightload to", "tonight"),
    ("nightload tonight --ni", "--night-low"),
    ("nightload tonight --get-up y", "yes"),
    ("nightload list leav", "leaving"),
    ("nightload sheet gu", "guest"),
    ("nightload report --size le", "letter"),
    ("nightload completion fi", "fish"),
    ("nightload list leaving --pap", "--paper"),
    ("nightload due --js", "--json"),
    ("nightload import tabl", "table.csv"),
    ("nightload --log tabl", "table.csv"),
    ("nightload export fold", "folder"),
    ("nightload import fold", "folder"),
    ("nightload salvage tabl", "table.csv"),
    ("nightload --log table.csv list leav", "leaving"),
    ("nightload export --log table.csv fold", "folder"),
    ("nightload tonight --night-low -12 --get-up y", "yes"),
    ("nightload sheet guest week", "weekend"),
    ("nightload stays --year --this", "--this-weekend"),
    ("nightload list --move 2 3 --pap", "--paper"),
    ("nightload note list --ye", "--yes"),
    ("nightload note tabl", "tabl"),
]
"""What stands on the line when Tab is pressed, and its last word then: the same where nothing is offered."""


@pytest.fixture
def beside(tmp_path):
    """A folder with a table and a folder in it, to be completed."""
    (tmp_path / "table.csv").write_text("", encoding="utf-8")
    (tmp_path / "folder").mkdir()
    return tmp_path


def said_by(command: list[str], folder: Path) -> str:
    environ = {"HOME": str(folder), "PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8", "TERM": "dumb"}
    done = subprocess.run(
        command, cwd=folder, env=environ, capture_output=True, text=True, encoding="utf-8",
        check=False, timeout=120,
    )  # fmt: skip
    return done.stdout + done.stderr


def needs(shell: str) -> pytest.MarkDecorator:
    return pytest.mark.skipif(shutil.which(shell) is None, reason=f"{shell} is not installed")


IN_BASH = """
source "$1"; shift
asked=$(complete -p nightload); asked=${asked##*-F }; asked=${asked%% *}
for typed_line in "$@"; do
  read -ra COMP_WORDS <<< "$typed_line"
  COMP_CWORD=$(( ${#COMP_WORDS[@]} - 1 )); COMPREPLY=()
  $asked
  echo "$typed_line => ${COMPREPLY[*]}"
done
"""


@needs("bash")
def test_bash_completes(beside):
    lines = [line for line, _ in WANTED]
    said = said_by(
        ["bash", "--norc", "-c", IN_BASH, "bash", str(PACKAGE / "shell" / "nightload.bash"), *lines], beside
    ).splitlines()
    wanted = [(line, "" if line.split()[-1] == offered else offered) for line, offered in WANTED]
    assert said == [f"{line} => {offered}" for line, offered in wanted]


@needs("bash")
def test_bash_parts_a_flag_and_its_value_at_the_sign_between(beside):
    """Its own words are three there: the flag, "=" and the value."""
    line = "nightload --log = tabl"
    said = said_by(
        ["bash", "--norc", "-c", IN_BASH, "bash", str(PACKAGE / "shell" / "nightload.bash"), line], beside
    )
    assert said == f"{line} => table.csv\n"


@needs("fish")
def test_fish_completes(beside):
    asked = "".join(f"; echo '{line} =>'; complete -C '{line}'" for line, _ in WANTED)
    said = said_by(
        ["fish", "--no-config", "-c", f"source '{PACKAGE / 'shell' / 'nightload.fish'}'{asked}"], beside
    )
    for line, offered in WANTED:
        answers = said.split(f"{line} =>\n")[1].split(" =>\n")[0].splitlines()
        told = [row.split("\t")[0].rstrip("/") for row in answers]
        assert told == [] if line.split()[-1] == offered else offered in told, (line, said)


IN_ZSH = """
zmodload zsh/zpty
zpty inner zsh -f -i
tell() { zpty -w inner "$1" }
tell 'PS1=READY; PS2=; unset zle_bracketed_paste; setopt no_beep'
tell "fpath=($1 \\$fpath); autoload -Uz compinit; compinit -u -D; compdef _nightload nightload"
tell "_ends() { print -r -- BUF\\"[\\$BUFFER]\\"END; BUFFER=; zle accept-line }"
tell "zle -N _ends; bindkey '^X' _ends"
tell 'print GO''NE'
while zpty -r inner row; do [[ $row == *GONE* ]] && break; done
shift
for line in "$@"; do
  zpty -w -n inner "$line"$'\\t'$'\\x18'
  while zpty -r inner row; do print -r -- "$row"; [[ $row == *']END'* ]] && break; done
done
zpty -d inner
"""
"""An interactive zsh within a zsh: types each line, presses Tab, and says what then stands on the line."""


@needs("zsh")
def test_zsh_completes(beside):
    functions = beside / "functions"
    functions.mkdir()
    shutil.copyfile(PACKAGE / "shell" / "nightload.zsh", functions / "_nightload")
    lines = [line for line, _ in WANTED]
    said = said_by(["zsh", "-f", "-c", IN_ZSH, "zsh", str(functions), *lines], beside)
    left = re.findall(r"BUF\[(.*?)\]END", said)
    assert len(left) == len(lines), said
    for (line, offered), completed in zip(WANTED, left, strict=True):
        assert completed.rstrip("/ ").split()[-1] == offered, line


# Licences


def test_the_table_of_licences_is_what_is_locked(script):
    locked = script("making.locked")
    with (PACKAGE / "licences.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["name"]: row["version"] for row in rows} == locked.pins("bench")
    assert all(row["why"] for row in rows)


def test_every_licence_goes_with_ours():
    """MIT asks for its notice to be kept; so do these. "AND" means all hold, "OR" that one may choose."""
    with (PACKAGE / "licences.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            choices = [set(re.split(" AND ", one)) for one in row["licence"].split(" OR ")]
            allowed = PERMISSIVE if row["for"] == "run" else PERMISSIVE | ONLY_TO_WORK_ON_IT
            assert any(choice <= allowed for choice in choices), row


def test_licences_are_printed(capsys):
    assert main(["licences", "--json"]) == 0
    libraries = json.loads(capsys.readouterr().out)["libraries"]
    assert {row["for"] for row in libraries} == {"run"}
    assert "textual" in {row["name"] for row in libraries}
    assert main(["licences", "--all"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Nightload itself: MIT.")
    assert "hypothesis" in said


# Branches no test takes


def told(taken: int, branches: int) -> dict[str, object]:
    summary = {"num_statements": 90, "covered_lines": 90, "num_branches": branches, "covered_branches": taken}
    return {"summary": summary, "missing_branches": [[3, 5]] * (branches - taken)}


def test_branches_are_summed_by_part_and_the_worst_named(script):
    branches = script("branches")
    report = {
        "files": {
            "logbook/heat/fit.py": told(10, 10),
            "logbook/care/ash.py": told(9, 10),
            "logbook/errors.py": told(0, 0),
            "logbook/store/log.py": told(10, 10),
            "logbook/ui/app.py": told(0, 10),
        }
    }
    assert branches.sums(report) == {"core": (19, 20), "store": (10, 10)}
    assert branches.enough(report)
    rows = list(branches.rows(report))
    assert "| core | 95.0 % | 20 branches |" in rows, "lines, all of them run, make it look no better"
    assert [row for row in rows if "ash.py" in row]
    assert not [row for row in rows if "app.py" in row or "fit.py" in row or "errors.py" in row]


def test_one_branch_too_few_or_a_part_not_run_is_not_enough(script):
    branches = script("branches")
    store = {"logbook/store/log.py": told(10, 10)}
    assert not branches.enough({"files": {"logbook/care/ash.py": told(18, 20), **store}})
    assert not branches.enough({"files": store})
    assert not branches.enough({"files": {}})


def test_every_module_of_the_core_and_the_store_is_looked_at(script):
    looked_at = set().union(*script("branches").PARTS.values())
    here = {
        path.stem
        for path in PACKAGE.iterdir()
        if not path.name.startswith("__") and path.suffix in ("", ".py")
    }
    beside = {"actions", "as_json", "cli", "ui", "wording", "paper", "shell", "demo_data"}
    assert looked_at <= here
    assert {"heat", "care", "store", "entry"} <= looked_at
    assert looked_at.isdisjoint(beside)
