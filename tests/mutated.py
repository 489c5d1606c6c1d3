"""Changes one number of one module of boardgen as it is imported; `mutation.py` uses it."""

from __future__ import annotations

import ast
import sys
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder
from pathlib import Path
from types import ModuleType


class Replace(ast.NodeTransformer):
    """Puts a number in the place of the one at that line and column."""

    def __init__(self, line: int, column: int, new: complex) -> None:
        self.at, self.new = (line, column), new

    def visit_Constant(self, node: ast.Constant) -> ast.Constant:
        """The same node, or the new number."""
        if (node.lineno, node.col_offset) == self.at:
            return ast.copy_location(ast.Constant(self.new), node)
        return node


class Changed(MetaPathFinder, Loader):
    """Loads the one module from its changed source."""

    def __init__(self, name: str, replace: Replace) -> None:
        self.name, self.replace = name, replace

    def find_spec(self, fullname: str, path: object, target: object = None) -> ModuleSpec | None:
        """The spec of that module, with this as its loader."""
        spec = PathFinder.find_spec(fullname, path) if fullname == self.name else None  # type: ignore[arg-type]
        if spec is not None:
            spec.loader = self
        return spec

    def create_module(self, spec: ModuleSpec) -> None:
        """A plain module will do."""

    def exec_module(self, module: ModuleType) -> None:
        """Runs the changed source."""
        tree = ast.parse(Path(str(module.__spec__ and module.__spec__.origin)).read_text(encoding="utf-8"))
        tree = self.replace.visit(tree)
        exec(compile(ast.fix_missing_locations(tree), self.name, "exec"), module.__dict__)


def change(name: str, line: int, column: int, new: complex) -> None:
    """Has the module of that name, such as "boardgen.sizing.rules", loaded with the new number at its place."""
    sys.meta_path.insert(0, Changed(name, Replace(line, column, new)))
