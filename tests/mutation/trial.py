"""One changed module and the tests, in a process of their own."""

import ast
import contextlib
import gc
import importlib.util
import io
import json
import os
import signal
import sys
import tempfile
import time
from collections.abc import Collection, Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

LONGEST_CPU_S = 120
HEAVY = ("scipy.optimize", "scipy.integrate", "periodictable", "pint", "phreeqpython",
         "chemicals", "CoolProp.CoolProp")  # fmt: skip
# Tests that look at a library alone.
OF_A_LIBRARY = "not (those_of or that_of_the or that_of_phreeqc)"
OPTIONS = ("-q", "--noconftest", "--assert=plain", "-p", "no:cacheprovider", "-k", OF_A_LIBRARY)


class _Loader(SourceFileLoader):
    def __init__(self, name: str, path: str, tree: ast.Module) -> None:
        super().__init__(name, path)
        self._tree = tree

    def get_code(self, fullname: str) -> CodeType:
        return compile(self._tree, self.path, "exec")


class _Finder(MetaPathFinder):
    def __init__(self, name: str, path: Path, tree: ast.Module) -> None:
        self._name, self._path, self._tree = name, str(path), tree

    def find_spec(self, fullname: str, path: Any, target: Any = None) -> ModuleSpec | None:
        if fullname != self._name:
            return None
        inside = [str(Path(self._path).parent)] if self._path.endswith("__init__.py") else None
        loader = _Loader(fullname, self._path, self._tree)
        return importlib.util.spec_from_file_location(
            fullname, self._path, loader=loader, submodule_search_locations=inside
        )


class Touched:
    """For each function of a module the tests that call it, and how long each takes."""

    def __init__(self, path: Path) -> None:
        self._path = str(path)
        self._scopes: set[str] = set()
        self._began = 0.0
        self.seconds: dict[str, float] = {}
        self.by_scope: dict[str, list[str]] = {}

    def pytest_runtest_setup(self, item: Any) -> None:
        self._scopes, self._began = set(), time.perf_counter()
        sys.setprofile(self._note)

    def pytest_runtest_teardown(self, item: Any) -> None:
        sys.setprofile(None)
        self.seconds[item.nodeid] = time.perf_counter() - self._began
        for scope in self._scopes:
            self.by_scope.setdefault(scope, []).append(item.nodeid)

    def _note(self, frame: FrameType, event: str, argument: Any) -> None:
        if event == "call" and frame.f_code.co_filename == self._path:
            self._scopes.add(frame.f_code.co_qualname.split(".<locals>")[0])

    def of(self, scope: str) -> list[str]:
        """Tests that call a function, the quick ones first; of a module all that call it."""
        if scope == "module":
            wanted = {test for tests in self.by_scope.values() for test in tests}
        else:
            wanted = set(self.by_scope.get(scope, ()))
        return sorted(wanted, key=lambda test: self.seconds[test])


class _Only:
    def __init__(self, wanted: Sequence[str]) -> None:
        self._place = {test: place for place, test in enumerate(wanted)}

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        items[:] = [item for item in items if item.nodeid in self._place]
        items.sort(key=lambda item: self._place[item.nodeid])


def prepare() -> None:
    """Import what every trial needs, and make property tests short and repeatable."""
    import hypothesis
    import numpy  # noqa: F401
    import pytest  # noqa: F401

    for heavy in HEAVY:
        with contextlib.suppress(ImportError):
            importlib.import_module(heavy)
    hypothesis.settings.register_profile(
        "mutation",
        max_examples=10,
        derandomize=True,
        database=None,
        deadline=None,
        suppress_health_check=[hypothesis.HealthCheck.too_slow],
    )
    hypothesis.settings.load_profile("mutation")
    # Plugins of other libraries and the collection of old garbage would cost most of a trial.
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    gc.collect()
    gc.freeze()
    gc.disable()


def passes(
    name: str, path: Path, tree: ast.Module, tests: Collection[Path], only: Sequence[str] = ()
) -> bool:
    """Whether the tests pass with a changed module; ``only`` these of them if any are named."""
    plugins = [_Only(only)] if only else []
    return _in_a_process(lambda: _run(name, path, tree, tests, ["-x"], plugins)) == 0


def touched(name: str, path: Path, tests: Collection[Path]) -> Touched | None:
    """What the tests call of an unchanged module; None if they fail."""
    noted = Touched(path)
    tree = ast.parse(path.read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        told = Path(folder) / "told.json"

        def note() -> int:
            code = _run(name, path, tree, tests, [], [noted])
            told.write_text(json.dumps([noted.seconds, noted.by_scope]), encoding="utf-8")
            return code

        if _in_a_process(note) != 0:
            return None
        noted.seconds, noted.by_scope = json.loads(told.read_text(encoding="utf-8"))
    return noted


def _in_a_process(run: Any) -> int:
    child = os.fork()
    if child == 0:
        code = 1
        try:
            # of its own time: a busy machine must not make a mutant look found out
            signal.setitimer(signal.ITIMER_PROF, LONGEST_CPU_S)
            code = run()
        finally:
            os._exit(code)
    return os.waitpid(child, 0)[1]


def _run(
    name: str,
    path: Path,
    tree: ast.Module,
    tests: Collection[Path],
    options: Sequence[str],
    plugins: Sequence[object],
) -> int:
    import pytest

    sys.meta_path.insert(0, _Finder(name, path, tree))
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        return int(pytest.main([*OPTIONS, *options, *map(str, tests)], plugins=list(plugins)))
