"""Does a test notice when the code is wrong?  python3 scripts/mutants.py store/log.py heat/evening.py

Changes one thing at a time in a copy of the source (a comparison, a sign, a number, a keyword left out) and
runs the tests that go through that line, each time in a fresh process: tables made at import are judged too.
A mutant that no test notices survives: a test is missing, the code does nothing, or the change is none.
Sentences for readers, annotations and decorators stay as they are.

    --sample N   so many mutants of each module (all), drawn by --seed (1)
    --tests P…   where the tests are looked for (all but the app's and the reliability runs); they run once
                 under coverage before the first mutant
    --only FILE  just the mutants named in a file, one a line as printed: those that survived, once more
                 (lines must not have moved since)
"""

import argparse
import contextlib
import importlib.util
import itertools
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from pathlib import Path

from mutating import mutants_of
from python_version import stop_if_too_old

ROOT = Path(__file__).resolve().parents[1]
COPIED = ("logbook", "scripts", "seeds", "tests", "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml")

ALL_TESTS = ("tests", "--ignore=tests/ui", "--ignore=tests/reliability")
LOADED_ONCE = (
    "numpy.random", "pytest", "hypothesis.strategies", "pandas", "textual.app", "textual.widgets", "msgspec",
    "jinja2", "astral.sun", "psychrolib", "sqlite_utils", "scipy", "pytest_asyncio", "plotext",
)  # fmt: skip
TURNS_S = (1.0, 8.0, 30.0)
"""A line's tests, the likeliest and quickest first: so many seconds of them, and only for what survives
these so many of the rest, s."""
HANGS_AFTER = 6.0
"""A mutant's tests that take so many times as long as they should (and 30 s) have noticed."""

# Which tests go through which line

NOTE = """
import os, pytest
@pytest.hookimpl
def pytest_runtest_logreport(report):
    with open(os.environ["MUTANTS_NOTES"], "a") as notes:
        notes.write(f"{report.nodeid}\\t{report.when}\\t{report.outcome}\\t{report.duration}\\n")
"""


def environment_of(folder):
    return {
        **os.environ, "PYTHONPATH": f"{folder}:{folder / 'plugin'}", "PYTHONDONTWRITEBYTECODE": "1",
        "MUTANTS_NOTES": str(folder / "notes.tsv"),
    }  # fmt: skip


def tests_by_line(folder, tests):
    """For each module, line -> the tests that go through it; and how long each test takes, s."""
    data = folder / "coverage"
    environment = {**environment_of(folder), "COVERAGE_FILE": str(data)}
    environment.pop("PYTHONDONTWRITEBYTECODE")  # the tests' rewritten asserts are kept for the runs to come
    watched = ["-p", "notes", "--cov=logbook", "--cov-context=test", "--cov-report="]
    run = [sys.executable, "-m", "pytest", "-q", *watched, *tests]
    subprocess.run(run, cwd=folder, env=environment, check=False, capture_output=True)
    from coverage import CoverageData  # noqa: PLC0415 - a tool of the tests' environment

    took, failed = Counter(), set()
    for row in (folder / "notes.tsv").read_text().splitlines():
        name, _, outcome, seconds = row.split("\t")
        took[name] += float(seconds)
        failed |= {name} if outcome == "failed" else set()
    for name in failed:
        del took[name]
        sys.stderr.write(f"Left out, it fails with nothing changed: {name}\n")
    read = CoverageData(basename=str(data))
    read.read()
    lines = {}
    for name in read.measured_files():
        by_line = read.contexts_by_lineno(name).items()
        module = str(Path(name).relative_to(folder / "logbook"))
        lines[module] = {line: {c.split("|")[0] for c in contexts if c} for line, contexts in by_line}
    return lines, took


def chosen(mutant, lines, took, noticed):
    """The tests of a mutant: those that noticed others of this module first, then the quickest.

    What is read at import (a table, a constant) may matter to any test, wherever it is looked up: those that
    go through the module come first.
    """
    by_line = lines.get(mutant.module, {})
    through = set().union(*by_line.values())
    found = set(took)
    if mutant.lines:
        found = by_line.get(mutant.line) or set().union(*(by_line.get(line, set()) for line in mutant.lines))
        found = found or through or set(took)
    best = noticed[mutant.module]
    return sorted(found & set(took), key=lambda t: (-best[t], t not in through, took[t], t))


def within(tests, took, seconds):
    """As many of the tests as take so long."""
    some, sum_s = [], 0.0
    for test in tests:
        sum_s += took[test] + 0.005
        if sum_s > seconds and some:
            break
        some.append(test)
    return some


# One mutant


def preload():
    """What tests load besides our own code, loaded once."""
    for name in LOADED_ONCE:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


def notices(folder, tests, seconds):
    """Whether a test fails in a fresh process: its name, "hangs", or None."""
    notes = folder / "notes.tsv"
    notes.write_text("")
    child = os.fork()
    if not child:
        os.setsid()
        os.chdir(folder)
        os.environ.update(environment_of(folder))
        sys.dont_write_bytecode = True
        sys.path[:0] = [str(folder), str(folder / "plugin")]
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        code = 1
        try:
            import pytest  # noqa: PLC0415

            options = ["-q", "-x", "-p", "notes", "-p", "no:cacheprovider"]
            code = int(pytest.main([*options, *tests]))
        finally:
            os._exit(code)
    ends = time.monotonic() + max(30.0, HANGS_AFTER * seconds + 30.0)
    while True:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            break
        if time.monotonic() > ends:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return "hangs"
        time.sleep(0.01)
    if status == 0:
        return None
    failed = [row.split("\t")[0] for row in notes.read_text().splitlines() if "\tfailed\t" in row]
    return failed[0] if failed else "does not load"


def copied_to(folder):
    """The source, its tests and the plugin that notes how each test went."""
    for name in COPIED:
        copy_one = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
        copy_one(ROOT / name, folder / name)
    (folder / "plugin").mkdir()
    (folder / "plugin" / "notes.py").write_text(NOTE)


def judged(mutant, folder, mapped, noticed):
    """Which test notices a mutant; None if none does."""
    lines, took = mapped
    tests = chosen(mutant, lines, took, noticed)
    path = folder / "logbook" / mutant.module
    before = path.read_text()
    for compiled in (path.parent / "__pycache__").glob(f"{path.stem}.*.pyc"):
        compiled.unlink()
    path.write_text(mutant.source)
    test = None
    try:
        for seconds in TURNS_S:
            now = within(tests, took, seconds)
            tests = tests[len(now) :]
            test = notices(folder, now, seconds) if now else None
            if test is not None:
                break
    finally:
        path.write_text(before)
    noticed[mutant.module][test] += 1
    return test


def drawn(asked):
    """The mutants to judge, module by module."""
    only = None if asked.only is None else set(asked.only.read_text().splitlines())
    for module in asked.modules:
        source = (ROOT / "logbook" / module).read_text()
        every = list(mutants_of(module, source, wanted=()))
        numbers = [i for i, mutant in enumerate(every) if only is None or str(mutant) in only]
        if asked.sample is not None and asked.sample < len(numbers):
            numbers = sorted(random.Random(f"{asked.seed} {module}").sample(numbers, asked.sample))
        wanted = set(numbers)
        yield from (m for i, m in enumerate(mutants_of(module, source, wanted=wanted)) if i in wanted)


def in_the_tests_environment(arguments):
    """The same run by the Python that has what the tests need."""
    import environment  # noqa: PLC0415 - its syntax needs the Python asked for

    try:
        python = environment.ready(".venv-test", extras="dev")
    except environment.SetUpError as problem:
        sys.stderr.write(str(problem) + "\n")
        return 1
    return subprocess.run([python, __file__, *arguments], check=False).returncode


def say(row):
    """A row at once: a run cut short has told what it found."""
    sys.stdout.write(f"{row}\n")
    sys.stdout.flush()


def main(arguments):
    """Judge the mutants asked for; print those that survive and each module's score, as they come."""
    stop_if_too_old()
    plain = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=plain)
    parser.add_argument("modules", nargs="+", help="below logbook/")
    parser.add_argument("--sample", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tests", nargs="+", default=ALL_TESTS)
    parser.add_argument("--only", type=Path)
    asked = parser.parse_args(arguments)
    if importlib.util.find_spec("pytest_cov") is None:
        return in_the_tests_environment(arguments)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    noticed = defaultdict(Counter)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        copied_to(folder)
        mapped = tests_by_line(folder, asked.tests)
        preload()
        for module, mutants in itertools.groupby(drawn(asked), key=lambda mutant: mutant.module):
            score = Counter()
            for mutant in mutants:
                test = judged(mutant, folder, mapped, noticed)
                score["survived" if test is None else "noticed"] += 1
                if test is None:
                    say(f"{mutant}")
            say(f"| {module} | {score['noticed']} noticed of {score.total()} |")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
