"""Write where every formula comes from, out of the code itself, into the docs.

python tests/published/science.py            print it
python tests/published/science.py --write    write it into service/wortwright/docs/science.md
"""

import ast
import csv
import inspect
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from wortwright import brewing
from wortwright.calibration import priors

PAGE = Path(brewing.__file__).parents[1] / "docs" / "science.md"
FROM, TO = "<!-- formulas -->", "<!-- end of formulas -->"

# What tells that the words beside a constant say where it comes from.
_SOURCED = re.compile(r"\b(19|20)\d\d\b|memory|practice|no source|design value|assumption|balance")
_ROLE = re.compile(r":\w+:`([^`]+)`")
_NAME = re.compile(r"\b[A-Za-z]+(?:_[A-Za-z0-9]+)+\b")
_FOR_PROGRAMMERS = re.compile(r"Every function takes floats and numpy arrays alike[^.]*\.")
_MARK = re.compile(r"\.\. \[\d+\] ")

# In the order of the day; what is not named here follows.
_ORDER = (
    "gravity hydrometer refractometer water_density grist mash_water lautering continuous_sparge "
    "heat boil hops hop_storage colour alcohol attenuation fermentation yeast starter repitching "
    "oxygen carbonation priming bottling blending ions alkalinity water_report water_limits "
    "water_targets salts salt_doses water_treatment mash_ph mash_ph_offset mash_acid acids"
).split()


def generated() -> str:
    """Write the part of the page that comes from the code."""
    folder = Path(brewing.__file__).parent
    paths = {path.stem: path for path in folder.glob("*.py")}
    names = [*_ORDER, *sorted(paths.keys() - set(_ORDER) - {"__init__", "errors"})]
    groups = [_group(ast.parse(paths[name].read_text(encoding="utf-8"))) for name in names]
    starting = ast.parse(inspect.getsource(priors))
    return "\n".join(["", *groups, _group(starting), _tables(folder / "tables")])


def _group(module: ast.Module) -> str:
    title, _, more = (ast.get_docstring(module) or "").partition("\n\n")
    rows = [*_formulas(module), *_constants(module)]
    plain = [_summary(one) for one in _functions(module) if not _references(one)]
    parts = [f"### {_one_line(title).rstrip('.')}\n"]
    parts += [f"{_plain(paragraph)}\n" for paragraph in more.split("\n\n") if paragraph]
    if rows:
        parts += ["| what | from |", "|---|---|"]
        parts += [f"| {what} | {source} |" for what, source in rows]
        parts.append("")
    if plain:
        parts.append("With no source but a balance, a definition or the rows above:\n")
        parts += [f"- {said}" for said in plain]
        parts.append("")
    return "\n".join(parts)


def _functions(module: ast.Module) -> Iterator[ast.FunctionDef]:
    for node in module.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield node


def _formulas(module: ast.Module) -> Iterator[tuple[str, str]]:
    for function in _functions(module):
        if source := _references(function):
            yield _summary(function), source


def _constants(module: ast.Module) -> Iterator[tuple[str, str]]:
    """Give the constants whose docstring says where they come from, by their names."""
    for node, following in zip(module.body, module.body[1:], strict=False):
        said = _docstring(following)
        if isinstance(node, ast.Assign | ast.AnnAssign) and said and _SOURCED.search(said):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            name = ast.unparse(target).strip("_").lower().replace("_", " ")
            yield f"the constant *{name}*", _plain(said)


def _docstring(node: ast.stmt) -> str:
    is_text = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    return str(node.value.value) if is_text else ""  # type: ignore[attr-defined]


def _summary(function: ast.FunctionDef) -> str:
    said = (ast.get_docstring(function) or function.name).partition("\n\n")[0]
    return _plain(said).rstrip(".")


def _references(function: ast.FunctionDef) -> str:
    said = inspect.cleandoc(ast.get_docstring(function) or "")
    found = re.search(
        r"^References\n-+\n(.*?)(?=^\S[^\n]*\n---|\Z)", said, re.DOTALL | re.MULTILINE
    )
    return _plain(_MARK.sub("", found[1])) if found else ""


def _tables(folder: Path) -> str:
    lines = [
        "### Tables\n",
        "What is assumed where a recipe, a sheet or a packet does not say. The sources as they "
        "stand row by row:\n",
        "| table | rows | from |",
        "|---|---|---|",
    ]
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        cells = "; ".join(row.get("source") or "" for row in rows)
        found = [one for one in dict.fromkeys(re.split(r"; *", cells)) if one]
        if found:
            name = path.stem.replace("_", " ")
            lines.append(f"| {name} | {len(rows)} | {_plain('; '.join(found))} |")
    return "\n".join([*lines, ""])


def _plain(text: str) -> str:
    """Write words of a docstring as one line of a Markdown table."""
    line = _ROLE.sub(r"\1", _one_line(text)).replace("`", "")
    line = _FOR_PROGRAMMERS.sub("", line).strip()
    return _NAME.sub(lambda found: found[0].replace("_", " ").lower(), line).replace("|", "\\|")


def _one_line(text: str) -> str:
    return " ".join(text.split())


def as_it_should_be(page: str) -> str:
    """Give the page with its generated part written anew."""
    before, rest = page.split(FROM)
    after = rest.split(TO)[1]
    return f"{before}{FROM}\n{generated()}\n{TO}{after}"


if __name__ == "__main__":
    if "--write" in sys.argv[1:]:
        PAGE.write_text(as_it_should_be(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    else:
        sys.stdout.write(generated())
