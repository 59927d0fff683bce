"""Writes scripts/locked/*.txt anew: the exact versions, with hashes, for every system and Python from 3.11.

Needs the resolver uv and the network:  pip install uv, then  python3 scripts/lock.py
Versions locked already stay while pyproject.toml admits them; --upgrade takes the newest. After it run
scripts/test.py, then scripts/made.py for the table of licences.
"""

import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from making.locked import FOLDER, PARTS, blocks

ROOT = Path(__file__).resolve().parents[1]

NOT_LOCKED = {"pip"}
"""Comes with the environment; a pip that replaces itself half-way fails on Windows."""

EXTRAS = {"source": (), "run": (), "build": (), "dev": ("dev",), "bench": ("dev", "bench")}

HEAD = "# Made by scripts/lock.py from pyproject.toml: exact versions and their hashes, for every system.\n"


def resolved(part, arguments):
    """What the resolver says for a part and all before it, by package."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "out.txt"
        kept = "".join(
            (FOLDER / f"{one}.txt").read_text(encoding="utf-8")
            for one in PARTS
            if (FOLDER / f"{one}.txt").is_file()
        )
        out.write_text(
            "".join(line for line in kept.splitlines(keepends=True) if not line.startswith("-r")),
            encoding="utf-8",
        )
        build = Path(folder) / "build.txt"
        project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
        wanted = list(project["dependency-groups"]["source"])
        if part not in ("source", "run"):  # so that the environment builds with nothing else
            wanted += project["build-system"]["requires"]
        build.write_text("\n".join(wanted) + "\n", encoding="utf-8")
        extras = [word for name in EXTRAS[part] for word in ("--extra", name)]
        fixed = ["--universal", "--python-version", "3.11", "--generate-hashes", "--no-annotate", "--quiet"]
        command = [
            "uv",
            "pip",
            "compile",
            *(() if part == "source" else ("pyproject.toml",)),
            str(build),
            *extras,
            *fixed,
            *arguments,
            "-o",
            str(out),
        ]
        subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        return {
            name: text
            for name, text in blocks(out.read_text(encoding="utf-8")).items()
            if name not in NOT_LOCKED
        }


def main(arguments):
    """Write one file for each part, each with what the one before has not."""
    FOLDER.mkdir(exist_ok=True)
    every = resolved("bench", arguments)
    written = set()
    for at, part in enumerate(PARTS):
        mine = sorted(set(resolved(part, [])) - written) if part != "bench" else sorted(set(every) - written)
        written |= set(mine)
        before = f"-r {PARTS[at - 1]}.txt\n" if at else ""
        text = HEAD + before + "".join(every[name] for name in mine)
        (FOLDER / f"{part}.txt").write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
