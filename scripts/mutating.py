"""One change at a time in a module's source: what ``mutants.py`` judges the tests by."""

import ast
import copy
import itertools
import re
from dataclasses import dataclass

LIKE = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,), ast.NotIn: (ast.In,), ast.And: (ast.Or,), ast.Or: (ast.And,),
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult,),
    ast.FloorDiv: (ast.Mult,), ast.Mod: (ast.Mult,), ast.Pow: (ast.Mult,),
    ast.BitAnd: (ast.BitOr,), ast.BitOr: (ast.BitAnd,),
}  # fmt: skip
"""What stands in an operator's place."""

NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Mutant:
    """One change: where, what stood there and what stands there now, and the whole module with it."""

    module: str
    line: int
    lines: range | None
    """Those of its statement; None for what is read at import."""
    was: str
    now: str
    source: str

    def __str__(self):
        return f"{self.module}:{self.line}: {self.was}  ->  {self.now}"


def left_alone(tree):
    """Nodes that are no behaviour: docstrings, annotations, decorators, what only a type checker reads."""
    found = set()

    def skip(node):
        found.update(id(n) for n in ast.walk(node))

    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        for statement in body if isinstance(body, list) else ():
            if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
                skip(statement)
        for name in ("annotation", "returns"):
            if getattr(node, name, None) is not None:
                skip(getattr(node, name))
        for decorator in getattr(node, "decorator_list", ()):
            skip(decorator)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            skip(node)
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            skip(node)
        if isinstance(node, ast.Raise | ast.JoinedStr):
            for part in ast.walk(node):
                if isinstance(part, ast.Constant):
                    skip(part)
    return found


def constant(node):
    """Other values in the place of one."""
    value = node.value
    if isinstance(value, bool):
        return [ast.Constant(not value)]
    if isinstance(value, int):
        return [ast.Constant(value + 1)]
    if isinstance(value, float):
        return [ast.Constant(value + max(1.0, abs(value) / 10))]
    if isinstance(value, str) and not re.search(r"\s\S+\s", value):  # else a sentence
        return [ast.Constant(f"XX{value}XX")]
    return []


def variants(node):
    """What could stand in a node's place."""
    yield from operators(node)
    yield from values(node)
    yield from statements(node)


def operators(node):
    """Other operators in the place of one, or an operand less."""
    if isinstance(node, ast.Compare):
        for i, op in enumerate(node.ops):
            for other in LIKE[type(op)]:
                yield ast.Compare(node.left, [*node.ops[:i], other(), *node.ops[i + 1 :]], node.comparators)
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(LIKE[type(node.op)][0](), node.values)
        if len(node.values) > 2:
            for i in range(len(node.values)):
                yield ast.BoolOp(node.op, node.values[:i] + node.values[i + 1 :])
    elif isinstance(node, ast.BinOp) and type(node.op) in LIKE:
        yield ast.BinOp(node.left, LIKE[type(node.op)][0](), node.right)
    elif isinstance(node, ast.UnaryOp):
        yield node.operand


def values(node):
    """Other values in the place of one, or an argument or a condition less."""
    if isinstance(node, ast.Constant):
        yield from constant(node)
    elif isinstance(node, ast.IfExp):
        yield ast.IfExp(node.test, node.orelse, node.body)
    elif isinstance(node, ast.Lambda):
        yield ast.Lambda(node.args, ast.UnaryOp(ast.Not(), node.body))
    elif isinstance(node, ast.Name) and node.id in NAMES:
        yield ast.Name(NAMES[node.id], node.ctx)
    elif isinstance(node, ast.Call):
        for i in range(len(node.keywords)):
            yield ast.Call(node.func, node.args, node.keywords[:i] + node.keywords[i + 1 :])
    elif isinstance(node, ast.comprehension):
        for i in range(len(node.ifs)):
            yield ast.comprehension(node.target, node.iter, node.ifs[:i] + node.ifs[i + 1 :], node.is_async)


def statements(node):
    """Other statements in the place of one."""
    if isinstance(node, ast.If | ast.While):
        changed = copy.copy(node)
        changed.test = ast.UnaryOp(ast.Not(), node.test)
        yield changed
    elif isinstance(node, ast.Return) and node.value is not None:
        if not (isinstance(node.value, ast.Constant) and node.value.value is None):
            yield ast.Return(ast.Constant(None))
    elif isinstance(node, ast.AugAssign):
        yield ast.Pass()
        if type(node.op) in LIKE:
            yield ast.AugAssign(node.target, LIKE[type(node.op)][0](), node.value)
    elif isinstance(node, ast.Raise) or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Call)):
        yield ast.Pass()
    elif isinstance(node, ast.Continue):
        yield ast.Break()
    elif isinstance(node, ast.Break):
        yield ast.Continue()


def shown(node):
    """A node in one short line."""
    if isinstance(node, ast.If | ast.While):
        return f"if {ast.unparse(node.test)}:"
    return " ".join(ast.unparse(node).split())[:150]


def mutants_of(module, source, *, wanted=None):
    """All mutants of a module in order; with ``wanted`` only those numbers carry the changed module."""
    tree = ast.parse(source)
    alone = left_alone(tree)
    number = itertools.count()

    def below(parent, lines, inside):
        if isinstance(parent, ast.stmt):
            body = getattr(parent, "body", None)
            last = max(parent.lineno, body[0].lineno - 1) if body else parent.end_lineno
            lines = range(parent.lineno, last + 1)
        inside = inside or isinstance(parent, ast.FunctionDef | ast.Lambda)
        for name, value in ast.iter_fields(parent):
            for i, node in enumerate(value if isinstance(value, list) else [value]):
                if not isinstance(node, ast.AST) or id(node) in alone:
                    continue
                own = lines if not isinstance(node, ast.stmt) else range(node.lineno, node.lineno + 1)
                line = getattr(node, "lineno", own.start)
                for other in variants(node):
                    was = shown(node)
                    new = [*value[:i], other, *value[i + 1 :]] if isinstance(value, list) else other
                    setattr(parent, name, new)
                    full = wanted is None or next(number) in wanted
                    changed = ast.unparse(ast.fix_missing_locations(tree)) if full else ""
                    setattr(parent, name, value)
                    yield Mutant(module, line, own if inside else None, was, shown(other), changed)
                yield from below(node, lines, inside)

    yield from below(tree, range(1, 2), False)
