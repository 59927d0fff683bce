"""Branches no test takes, by module, in the core and the store:  python3 scripts/branches.py

Runs the whole suite once (slower, about twice its time) and ends with 1 when less than ``AIM`` is taken.
With --report it reads the last run again. Further arguments go to pytest.
"""

import json
import os
import sys
import tempfile
from collections import defaultdict
from pathlib import Path

from python_version import stop_if_too_old

ROOT = Path(__file__).resolve().parents[1]

AIM = 95.0
"""Per cent of the branches and lines of each part."""

CORE = ("heat", "care", "entry", "records", "units", "matters", "house", "description", "description_table")
PARTS = {"core": CORE, "store": ("store",)}
"""What is looked at: folders and modules of the package."""


def part_of(name):
    """Which part a file of the package belongs to; None for one that is not looked at."""
    inside = Path(name).parts[1:]
    first = inside[0].removesuffix(".py") if inside else ""
    return next((part for part, names in PARTS.items() if first in names), None)


def rows(report):
    """Table rows from coverage's JSON: each part, then its modules below the aim, the worst first."""
    sums = defaultdict(lambda: [0, 0])
    modules = defaultdict(list)
    for name, told in report["files"].items():
        part = part_of(name)
        if part is None:
            continue
        total = told["summary"]["num_statements"] + told["summary"]["num_branches"]
        taken = told["summary"]["covered_lines"] + told["summary"]["covered_branches"]
        sums[part][0] += taken
        sums[part][1] += total
        if total and 100 * taken / total < AIM:
            modules[part].append((100 * taken / total, name, told.get("missing_branches", [])))
    yield "| part | taken | of |"
    yield "|---|---|---|"
    for part, (taken, total) in sums.items():
        yield f"| {part} | {100 * taken / total:.1f} % | {total} lines and branches |"
        for share, name, missing in sorted(modules[part]):
            where = " ".join(f"{a}>{b}" for a, b in missing[:12])
            yield f"| {name} | {share:.1f} % | not taken: {where} |"


def shares(report):
    """Per cent taken of each part."""
    found = {}
    for part in PARTS:
        told = [one["summary"] for name, one in report["files"].items() if part_of(name) == part]
        total = sum(one["num_statements"] + one["num_branches"] for one in told)
        taken = sum(one["covered_lines"] + one["covered_branches"] for one in told)
        found[part] = 100 * taken / total if total else 100.0
    return found


def main(arguments):
    """Run the suite under coverage, print the table."""
    stop_if_too_old()
    import environment  # noqa: PLC0415 - its syntax needs the Python just asked for

    try:
        python = environment.ready(".venv-test", extras="dev")
    except environment.SetUpError as problem:
        sys.stderr.write(str(problem) + "\n")
        return 1
    code = 0
    if "--report" not in arguments:
        os.environ["COVERAGE_CORE"] = "sysmon" if sys.version_info >= (3, 14) else "ctrace"
        watched = ["--cov=logbook", "--cov-branch", "--cov-report="]
        code = environment.run(
            python, ["-m", "pytest", "-n", "2", "--dist", "worksteal", *watched, *arguments]
        )
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "report.json"
        told = environment.run(python, ["-m", "coverage", "json", "--quiet", "-o", str(out)])
        if told:
            return told
        report = json.loads(out.read_text(encoding="utf-8"))
    print("\n".join(rows(report)))
    return code or int(min(shares(report).values()) < AIM)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
