"""The README says what is true: every command stands in it, and its five commands lead to a suggestion."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from logbook.cli.arguments import parser

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def commands() -> list[str]:
    """Every command the program knows."""
    for action in parser()._actions:
        if action.choices and not action.option_strings:
            return sorted(action.choices)
    raise AssertionError("the parser has no commands")


def five_commands() -> list[str]:
    """The lines of the newcomer's block, without their remarks; the first one installs."""
    block = README.split("in five commands\n```\n")[1].split("```")[0]
    return [line.split("  #")[0].strip() for line in block.splitlines() if line.strip()]


@pytest.mark.parametrize("command", commands())
def test_every_command_stands_in_the_readme(command: str) -> None:
    assert re.search(rf"`{command}[ `]", README), f"{command} is not in README.md"


def test_pictures_are_there() -> None:
    for path in re.findall(r"!\[[^]]*\]\(([^)]+)\)", README):
        assert (ROOT / path).is_file(), path


def test_five_commands_lead_from_nothing_to_a_suggestion(tmp_path: Path) -> None:
    lines = five_commands()
    assert len(lines) == 5
    assert lines[0] == "pip install ."
    environment = {**os.environ, "NIGHTLOAD_LOG": str(tmp_path / "log.db"), "XDG_CACHE_HOME": str(tmp_path)}
    said = ""
    for line in lines[1:]:
        assert line.startswith("nightload ")
        run = line.replace("nightload", f'"{sys.executable}" -m logbook', 1)
        done = subprocess.run(
            run, shell=True, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, (line, done.stderr)
        said = done.stdout
    assert "description" in said, "on the first day it says what the answer rests on"
    assert "Alarms not tested" in said
    assert re.search(r"\d °C", said)
