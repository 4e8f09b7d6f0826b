"""Small wrong versions of a module, one change each.

Changed are numbers, operators, comparisons, conditions, `min` and `max`, and guards that stand
alone. Left alone are names and messages (all strings, and what is raised), defaults of parameters
and of fields, annotations, decorators and imports.
"""

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass

NUDGE = 1.05
SWAPPED: dict[type[ast.operator], tuple[type[ast.operator], ...]] = {
    ast.Add: (ast.Sub,),
    ast.Sub: (ast.Add,),
    ast.Mult: (ast.Div,),
    ast.Div: (ast.Mult,),
    ast.Pow: (ast.Mult,),
    ast.FloorDiv: (ast.Div,),
    ast.Mod: (ast.Mult,),
}
COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
EXTREMES = {"min": ("max",), "max": ("min",)}


@dataclass(frozen=True)
class Mutant:
    """Where the change is, what it is, and the changed module."""

    scope: str
    line: int
    change: str
    tree: ast.Module


def mutants(source: str) -> Iterator[Mutant]:
    """Every mutant of a module, in the order of its lines."""
    tree = ast.parse(source)
    for scope, path in _places(tree, "", ()):
        node = _at(tree, path)
        for changed in _changes(node):
            new = copy.deepcopy(tree)
            _put(new, path, ast.copy_location(changed, node))
            ast.fix_missing_locations(new)
            change = f"{_text(node)} -> {_text(changed)}"
            yield Mutant(scope or "module", node.lineno, change, new)


Step = tuple[str, int | None]


def _places(
    node: ast.AST, scope: str, path: tuple[Step, ...]
) -> Iterator[tuple[str, tuple[Step, ...]]]:
    if isinstance(node, ast.expr | ast.Expr) and path:
        yield scope, path
    in_class = isinstance(node, ast.ClassDef)
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        scope = f"{scope}.{node.name}".lstrip(".")
    for name, value in ast.iter_fields(node):
        if name in {"annotation", "returns", "decorator_list", "bases", "ctx", "args_"}:
            continue
        children = value if isinstance(value, list) else [value]
        for index, child in enumerate(children):
            step = (name, index if isinstance(value, list) else None)
            if isinstance(child, ast.AST) and not _left_alone(child, in_class):
                yield from _places(child, scope, (*path, step))


def _left_alone(node: ast.AST, in_class: bool) -> bool:
    if isinstance(node, ast.arguments | ast.Raise | ast.Import | ast.ImportFrom | ast.JoinedStr):
        return True
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    return in_class and isinstance(node, ast.AnnAssign)


def _at(tree: ast.AST, path: tuple[Step, ...]) -> ast.AST:
    for name, index in path:
        tree = getattr(tree, name) if index is None else getattr(tree, name)[index]
    return tree


def _put(tree: ast.AST, path: tuple[Step, ...], new: ast.AST) -> None:
    parent = _at(tree, path[:-1])
    name, index = path[-1]
    if index is None:
        setattr(parent, name, new)
    else:
        getattr(parent, name)[index] = new


def _text(node: ast.AST) -> str:
    return " ".join(ast.unparse(node).split())


def _changes(node: ast.AST) -> Iterator[ast.AST]:
    match node:
        case ast.Constant(value=value):
            yield from _of_constant(value)
        case ast.BinOp(op=op):
            yield from (_with(node, op=other()) for other in SWAPPED.get(type(op), ()))
        case ast.Compare(ops=ops):
            for index, op in enumerate(ops):
                for other in COMPARED[type(op)]:
                    yield _with(node, ops=[*ops[:index], other(), *ops[index + 1 :]])
        case ast.BoolOp(op=op):
            yield _with(node, op=ast.Or() if isinstance(op, ast.And) else ast.And())
        case _:
            yield from _of_shape(node)


def _of_shape(node: ast.AST) -> Iterator[ast.AST]:
    match node:
        case ast.UnaryOp(operand=operand):
            yield operand
        case ast.IfExp(body=body, orelse=orelse):
            yield _with(node, body=orelse, orelse=body)
        case ast.Name(id=name):
            yield from (ast.Name(other, ast.Load()) for other in EXTREMES.get(name, ()))
        case ast.Expr(value=ast.Call()):
            yield ast.Pass()


def _of_constant(value: object) -> Iterator[ast.Constant]:
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int):
        yield ast.Constant(value + 1)
    elif isinstance(value, float):
        yield ast.Constant(value * NUDGE if value else 1.0)


def _with(node: ast.AST, **changed: object) -> ast.AST:
    made = copy.copy(node)
    for name, value in changed.items():
        setattr(made, name, value)
    return made
