"""The shape of the repository, held by reading it: who imports whom, how long things are, what is not there.

Each rule is a function over source text with a test of its own on a made-up offender, so that a rule which
has stopped seeing anything is noticed.
"""

from __future__ import annotations

import ast
import io
import re
import subprocess
import tokenize
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "logbook"
MODULES = sorted(PACKAGE.rglob("*.py"))

MOST_LINES = 400
MOST_FUNCTION_LINES = 60  # 40 is the aim; a reviewer asks from there on

LAYERS = (
    {"errors", "units", "shown"},
    {"records", "matters", "house", "results", "materials", "setting", "clock_doubt", "cautions"},
    {"heat", "care", "store", "entry", "description", "wording", "paper", "as_json", "plain_chart"},
    {"actions", "demo"},
    {"cli", "ui", "__main__"},
)
"""Imports point from a later row to an earlier one. A part of a name before the first underscore or dot
counts: ``description_table`` belongs to ``description``."""

BELONGS = {
    "description_table": "description",
}
"""Modules at the top whose home is another part."""

ALLOWED_BESIDE = {("store", "entry"), ("store", "description")}
"""The exceptions within one row: the store reads lines and descriptions."""

OUTSIDE_WORLD = {"sqlite3", "textual", "rich", "pandas", "os", "pathlib", "random", "time", "sqlite_utils"}
"""Never imported where results must depend on the arguments alone."""

NEVER_TWICE = {"plotext": 1}
"""Libraries only so many modules may touch."""


def part_of(module: Path) -> str:
    """The part a module belongs to: its folder under the package, or its own name."""
    inside = module.relative_to(PACKAGE)
    name = inside.parts[0] if len(inside.parts) > 1 else inside.stem
    return BELONGS.get(name, name)


def imported(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Every dotted name imported anywhere in a module, functions included, with its line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                yield node.lineno, "." * node.level + (node.module or "")
            elif node.module == "logbook":
                yield from ((node.lineno, f"logbook.{alias.name}") for alias in node.names)
            else:
                yield node.lineno, node.module or ""


def own_parts(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """The parts of the package a module imports, with the line."""
    for line, name in imported(tree):
        pieces = name.split(".")
        if pieces[0] == "logbook" and len(pieces) > 1:
            yield line, BELONGS.get(pieces[1], pieces[1])


def row_of(part: str) -> int:
    """The row of ``LAYERS`` a part stands in."""
    for row, parts in enumerate(LAYERS):
        if part in parts:
            return row
    raise AssertionError(
        f"'{part}' has no place in LAYERS: decide where it belongs, here and in DEVELOPERS.md"
    )


def may_import(part: str, other: str) -> bool:
    """Whether one part may import another."""
    if part in (other, "__init__"):
        return True
    mine, theirs = row_of(part), row_of(other)
    if mine == theirs:
        return (part, other) in ALLOWED_BESIDE or mine in (0, 1, len(LAYERS) - 1)
    return theirs < mine


def parsed(module: Path) -> ast.Module:
    return ast.parse(module.read_text(encoding="utf-8"), filename=str(module))


def name_of(module: Path) -> str:
    return str(module.relative_to(ROOT))


every_module = pytest.mark.parametrize("module", MODULES, ids=name_of)
core_module = pytest.mark.parametrize(
    "module", [module for module in MODULES if part_of(module) in ("heat", "care")], ids=name_of
)


# Who imports whom


@every_module
def test_imports_point_one_way(module):
    part = part_of(module)
    wrong = [f"line {line}: {part} imports {other}" for line, other in own_parts(parsed(module))
             if not may_import(part, other)]  # fmt: skip
    assert not wrong, "\n".join(wrong)


def test_the_import_rule_sees_an_offender():
    tree = ast.parse("def f():\n    from logbook import ui\n    import logbook.store.log\n")
    assert [other for _, other in own_parts(tree)] == ["ui", "store"]
    assert not may_import("heat", "store")
    assert not may_import("entry", "store")
    assert not may_import("records", "heat")
    assert not may_import("actions", "cli")
    assert may_import("store", "entry")
    assert may_import("ui", "actions")
    with pytest.raises(AssertionError, match="no place"):
        may_import("helpers", "units")


@every_module
def test_our_imports_are_written_in_full(module):
    short = [name for _, name in imported(parsed(module)) if name.startswith(".")]
    assert not short, f"{name_of(module)} imports {short}; write logbook.… so that the rule above sees it"


@pytest.mark.parametrize(("library", "most"), NEVER_TWICE.items())
def test_few_modules_touch_it(library, most):
    touching = [
        name_of(m) for m in MODULES if any(n.split(".")[0] == library for _, n in imported(parsed(m)))
    ]
    assert len(touching) <= most, touching


# The core knows no clock, file, screen or dice


def world_calls(tree: ast.AST) -> Iterator[str]:
    """Uses of the clock, of files, and of random numbers nobody passed in."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = ast.unparse(node.func)
        if called in ("open", "input", "print") or called.endswith((".read_text", ".write_text", ".open")):
            yield f"line {node.lineno}: {called}"
        if re.search(r"(^|\.)(datetime|date)\.(now|today|utcnow)$", called):
            yield f"line {node.lineno}: {called}, the clock"
        if called.endswith("default_rng") and not (node.args or node.keywords):
            yield f"line {node.lineno}: {called} without a seed"
        if re.match(r"(np|numpy)\.random\.(?!default_rng|Generator|SeedSequence|PCG64)", called):
            yield f"line {node.lineno}: {called}, dice shared by everyone"


@core_module
def test_the_core_touches_nothing_outside(module):
    tree = parsed(module)
    wrong = [
        f"line {line}: imports {name}" for line, name in imported(tree) if name.split(".")[0] in OUTSIDE_WORLD
    ]
    wrong += world_calls(tree)
    assert not wrong, f"{name_of(module)}: pass it in instead\n" + "\n".join(wrong)


@pytest.mark.parametrize(
    "code",
    [
        "datetime.now(tz=UTC)",
        "datetime.datetime.today()",
        "date.today()",
        "open('x')",
        "Path('x').read_text()",
        "np.random.normal(0, 1)",
        "numpy.random.seed(3)",
        "np.random.default_rng()",
        "default_rng()",
    ],
)
def test_the_core_rule_sees_an_offender(code):
    assert list(world_calls(ast.parse(code)))


@pytest.mark.parametrize(
    "code", ["rng.normal(0, 1)", "np.random.default_rng(seed)", "now + timedelta(hours=1)"]
)
def test_the_core_rule_lets_honest_code_be(code):
    assert not list(world_calls(ast.parse(code)))


# Sizes


@every_module
def test_no_module_is_too_long(module):
    lines = module.read_text(encoding="utf-8").count("\n")
    assert lines <= MOST_LINES, f"{name_of(module)} has {lines} lines: it holds more than one idea"


@every_module
def test_no_function_is_too_long(module):
    for node in ast.walk(parsed(module)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = (node.end_lineno or node.lineno) - node.lineno + 1
            assert lines <= MOST_FUNCTION_LINES, (
                f"{name_of(module)}:{node.lineno} {node.name} has {lines} lines"
            )


def test_most_functions_are_short():
    """The aim of 40 lines, over the whole: at most one function in fifty beyond it."""
    lengths = [
        (node.end_lineno or node.lineno) - node.lineno + 1
        for module in MODULES
        for node in ast.walk(parsed(module))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]
    assert sum(length > 40 for length in lengths) <= len(lengths) / 50


# Words for the reader


def undocumented(tree: ast.Module) -> Iterator[str]:
    """Public classes, functions and methods without a docstring."""

    def walk(body: list[ast.stmt], inside: str) -> Iterator[str]:
        for node in body:
            if not isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
                continue
            if node.name.startswith("_"):
                continue
            if not ast.get_docstring(node) and "overload" not in map(ast.unparse, node.decorator_list):
                yield f"line {node.lineno}: {inside}{node.name}"
            if isinstance(node, ast.ClassDef):
                yield from walk(node.body, f"{node.name}.")

    if not ast.get_docstring(tree):
        yield "the module itself"
    yield from walk(tree.body, "")


@every_module
def test_everything_public_says_what_it_is(module):
    missing = list(undocumented(parsed(module)))
    assert not missing, f"{name_of(module)}: no docstring on " + ", ".join(missing)


def test_the_docstring_rule_sees_an_offender():
    code = '"""M."""\nclass A:\n    """A."""\n    def b(self): ...\n    def _c(self): ...\ndef d(): ...\n'
    assert list(undocumented(ast.parse(code))) == ["line 4: A.b", "line 6: d"]


def numbers_without_a_word(source: str) -> list[str]:
    """Upper-case constants that hold a number and say nothing of unit or source.

    A word is a docstring after it or a comment on or right above it; one word serves a run of constants
    without a blank line between them.
    """
    commented = {
        token.start[0]
        for token in tokenize.generate_tokens(io.StringIO(source).readline)
        if token.type == tokenize.COMMENT
    }
    silent = []
    for run in runs_of_constants(ast.parse(source)):
        first, last = run[0].lineno, run[-1].end_lineno or run[-1].lineno
        documented = isinstance(run[-1], ast.Expr)
        if not documented and not commented.intersection(range(first - 1, last + 1)):
            silent += [f"line {node.lineno}: {constant_name(node)}" for node in run if has_number(node)]
    return silent


def runs_of_constants(tree: ast.Module) -> list[list[ast.stmt]]:
    """Upper-case assignments that follow line on line, with the docstring that ends them if there is one."""
    runs: list[list[ast.stmt]] = []
    for node in tree.body:
        follows = bool(runs) and node.lineno == (runs[-1][-1].end_lineno or 0) + 1
        told = bool(runs) and isinstance(runs[-1][-1], ast.Expr)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and follows:
            runs[-1].append(node)
        elif constant_name(node):
            if follows and not told:
                runs[-1].append(node)
            else:
                runs.append([node])
    return runs


def constant_name(node: ast.stmt) -> str:
    """The upper-case name a statement gives a value to; empty for any other statement."""
    target = node.targets[0] if isinstance(node, ast.Assign) else getattr(node, "target", None)
    name = ast.unparse(target) if isinstance(target, ast.Name | ast.Tuple) else ""
    return name if name.isupper() else ""


def has_number(node: ast.AST) -> bool:
    """Whether a number is given in it, other than within a record or reckoned from another constant."""
    if isinstance(node, ast.Call):
        return False
    if isinstance(node, ast.BinOp) and any(isinstance(n, ast.Name) for n in ast.walk(node)):
        return False
    if isinstance(node, ast.Constant):
        return type(node.value) in (int, float)
    return any(has_number(child) for child in ast.iter_child_nodes(node))


@core_module
def test_every_number_says_where_it_is_from(module):
    silent = numbers_without_a_word(module.read_text(encoding="utf-8"))
    assert not silent, f"{name_of(module)}: say unit and source of " + ", ".join(silent)


def test_the_number_rule_sees_an_offender():
    source = (
        '"""M."""\n'
        "A = 1.0\n"
        "\n"
        "B = 2.0\n"
        '"""W/K, ASSUMED."""\n'
        "C = 3  # h\n"
        "\n"
        "# kg, source\n"
        "D = 1\n"
        "E = 2\n"
        "\n"
        "F, G = 3, 4\n"
        "NAMES = ('a', 'b')\n"
        "H = B * 2\n"
    )
    assert numbers_without_a_word(source) == ["line 2: A", "line 12: (F, G)"]


# Nothing changes behind a reader's back


def changing_state(tree: ast.Module) -> Iterator[str]:
    """Names at module level that hold something which can be changed, or that a function rebinds."""
    for node in tree.body:
        value = getattr(node, "value", None)
        if isinstance(node, ast.Assign | ast.AnnAssign) and value is not None:
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            name = ast.unparse(target)
            mutable = isinstance(value, ast.List | ast.Set | ast.ListComp | ast.SetComp) or (
                isinstance(value, ast.Call)
                and ast.unparse(value.func) in ("list", "set", "defaultdict", "bytearray")
            )
            table = isinstance(value, ast.Dict | ast.DictComp) or (
                isinstance(value, ast.Call) and ast.unparse(value.func) == "dict"
            )
            if name != "__all__" and (mutable or (table and not name.lstrip("_").isupper())):
                yield f"line {node.lineno}: {name}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Global):
            yield f"line {node.lineno}: global {', '.join(node.names)}"


@every_module
def test_no_module_keeps_state(module):
    found = list(changing_state(parsed(module)))
    assert not found, (
        f"{name_of(module)}: a tuple, frozenset, or an upper-case table that is only read; found {found}"
    )


def test_tables_are_only_read():
    """Upper-case tables are constants: nothing in the package writes into one."""
    written = []
    for module in MODULES:
        for node in ast.walk(parsed(module)):
            targets = node.targets if isinstance(node, ast.Assign | ast.Delete) else []
            targets = [node.target] if isinstance(node, ast.AugAssign) else targets
            for target in targets:
                if isinstance(target, ast.Subscript) and ast.unparse(target.value).isupper():
                    written.append(f"{name_of(module)}:{node.lineno} {ast.unparse(target)}")
    assert not written


def test_the_state_rule_sees_an_offender():
    code = "cache = {}\nNAMES = ['a']\nseen: set[int] = set()\nTABLE = {1: 2}\ndef f():\n    global cache\n"
    found = list(changing_state(ast.parse(code)))
    assert found == ["line 1: cache", "line 2: NAMES", "line 3: seen", "line 6: global cache"]


# Tests wait for what is to come


SLEEPS = re.compile(r"(?<![\w_])sleep\(|\.pause\(0\.[1-9]")
"""A time waited out, which a slow machine overruns and a quick one wastes."""


def slept(source: str) -> list[str]:
    """Lines that wait for a time and give no reason beside it."""
    return [line.strip() for line in source.splitlines() if SLEEPS.search(line) and "#" not in line]


@pytest.mark.parametrize("module", sorted((ROOT / "tests").rglob("test_*.py")), ids=name_of)
def test_no_test_sleeps_without_a_reason(module):
    assert not slept(module.read_text(encoding="utf-8"))


def test_the_sleep_rule_sees_an_offender():
    lines = ("time.@(1)", "await pilot.pause(@0.5)", "await pilot.pause(0.01)", "pause()", "time.@(1)  # why")
    source = "\n".join(lines).replace("pause(@", "pause(").replace("@", "sleep")
    assert slept(source) == ["time.sle" + "ep(1)", "await pilot.pause" + "(0.5)"]


# The repository


TOP = {
    *(
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "pyproject.toml",
        ".gitignore",
        ".gitattributes",
    ),
    *(".ci", "logbook", "tests", "seeds", "scripts", "docs"),
}
"""What may lie at the top: a newcomer takes it in at one glance."""


def committed() -> list[str]:
    """The files under version control; none where this is no checkout (an unpacked archive)."""
    found = subprocess.run(
        ["git", "-C", str(ROOT), "ls-files", "-z"], capture_output=True, text=True, check=False
    )
    return [name for name in found.stdout.split("\0") if name] if found.returncode == 0 else []


def test_the_top_of_the_repository_stays_small():
    files = committed()
    if not files:
        pytest.skip("not a checkout")  # an unpacked archive has no git to ask what is committed
    assert {name.split("/")[0] for name in files} <= TOP


def test_no_drawer_for_odds_and_ends():
    odd = {"utils", "util", "helpers", "helper", "common", "misc"}
    assert not [name_of(module) for module in MODULES if module.stem in odd]


FORBIDDEN = (
    "seed" + " document",
    r"\btrans" + r"cripts?\b",
    "/work/" + "shared",
    "../" + "shared",
    "/work/" + "main",
    "/home/" + "[a-z]",
    "/ro" + "ot/",
    "pypi" + r"\.org",
    r"files\.python" + "hosted",
    "anth" + "ropic",
    "chat" + "gpt",
    r"\bclau" + r"de\b",
    r"\bai" + r"[- ](generated|written|assistant)",
    r"\blanguage " + "model",
)
"""Where things came from on one machine or in one conversation is no part of the project. Patterns, case
folded; written in halves so that this file does not hold them."""


def foreign_words(text: str) -> list[str]:
    """The forbidden patterns found in a text."""
    folded = text.casefold()
    return [pattern for pattern in FORBIDDEN if re.search(pattern, folded)]


def test_no_trace_of_the_machine_it_was_made_on():
    found = {}
    for name in committed():
        path = ROOT / name
        if path.suffix in (".png", ".npz", ".gz") or not path.is_file():
            continue
        words = foreign_words(path.read_text(encoding="utf-8", errors="replace"))
        if words:
            found[name] = words
    assert not found


def test_the_word_rule_sees_an_offender():
    assert foreign_words("see ../" + "shared/design.md") == ["../" + "shared"]
    assert foreign_words("A Seed" + " Document said so")
    assert not foreign_words("seeds are shared documents")


def test_texts_have_unix_line_ends():
    """A notebook that differs by line ends is a different file to the test that compares it."""
    for name in committed():
        path = ROOT / name
        if path.suffix in (".py", ".md", ".toml", ".csv", ".txt") and path.is_file() and "tests/" not in name:
            assert b"\r\n" not in path.read_bytes(), name
