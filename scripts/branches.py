"""Branches no test takes, by module, in the core and the store:  python3 scripts/branches.py

Runs the whole suite once (about twice its time) and ends with 1 when less than ``AIM`` per cent of the
branches of either part are taken. What counts as none (``[tool.coverage.report]``) stands in pyproject.toml.
With --report it reads the last run again. Further arguments go to pytest: with fewer tests it may end with 1.
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
"""Per cent of the branches of each part. Lines are not counted: they would only make it look better."""

CORE = (
    *("heat", "care", "entry", "results", "description", "description_table"),
    *("records", "units", "matters", "house", "setting", "errors", "materials", "clock_doubt", "shown"),
)
PARTS = {"core": CORE, "store": ("store",)}
"""What is looked at: folders and modules of the package."""


def part_of(name):
    """Which part a file of the package belongs to; None for one that is not looked at."""
    inside = Path(name).parts[1:]
    first = inside[0].removesuffix(".py") if inside else ""
    return next((part for part, names in PARTS.items() if first in names), None)


def rows(report):
    """Table rows from coverage's JSON: each part, then its modules below the aim, the worst first."""
    modules = defaultdict(list)
    for name, told in report["files"].items():
        taken, of = counted(told)
        if (part := part_of(name)) and 100 * taken < AIM * of:
            modules[part].append((100 * taken / of, name, told.get("missing_branches", [])))
    yield "| part | taken | of |"
    yield "|---|---|---|"
    for part, (taken, of) in sums(report).items():
        yield f"| {part} | {100 * taken / of:.1f} % | {of} branches |"
        for share, name, missing in sorted(modules[part]):
            where = " ".join(f"{a}>{b}" for a, b in missing[:12])
            yield f"| {name} | {share:.1f} % | not taken: {where} |"


def counted(told):
    """Branches taken and branches there are, of one file or more."""
    return told["summary"]["covered_branches"], told["summary"]["num_branches"]


def sums(report):
    """The same of each part that has any."""
    found = defaultdict(lambda: (0, 0))
    for name, told in report["files"].items():
        if part := part_of(name):
            found[part] = tuple(map(sum, zip(found[part], counted(told), strict=True)))
    return {part: found[part] for part in PARTS if found[part][1]}


def enough(report):
    """Whether each part is there and as much of it is taken as is asked for."""
    found = sums(report)
    return found.keys() == PARTS.keys() and all(100 * taken >= AIM * of for taken, of in found.values())


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
    return code or int(not enough(report))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
