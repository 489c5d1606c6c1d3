"""A plugin of pytest that changes one number of one module of boardgen as it is imported; `mutation.py` uses it.

The environment variable CHANGE holds module, line, column and new value, such as "boardgen.sizing.rules 5 18 12.24".
"""

from __future__ import annotations

import ast
import os
import sys
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder
from pathlib import Path
from types import ModuleType

NAME, LINE, COLUMN, NEW = os.environ["CHANGE"].split()


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

    def find_spec(self, fullname: str, path: object, target: object = None) -> ModuleSpec | None:
        """The spec of that module, with this as its loader."""
        spec = PathFinder.find_spec(fullname, path) if fullname == NAME else None  # type: ignore[arg-type]
        if spec is not None:
            spec.loader = self
        return spec

    def create_module(self, spec: ModuleSpec) -> None:
        """A plain module will do."""

    def exec_module(self, module: ModuleType) -> None:
        """Runs the changed source."""
        tree = ast.parse(Path(str(module.__spec__ and module.__spec__.origin)).read_text(encoding="utf-8"))
        tree = Replace(int(LINE), int(COLUMN), ast.literal_eval(NEW)).visit(tree)
        exec(compile(ast.fix_missing_locations(tree), NAME, "exec"), module.__dict__)


sys.meta_path.insert(0, Changed())
