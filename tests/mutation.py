"""Proves that the evidence tests notice a change of two per cent in any number of boardgen/handbook.

Run it from the checkout: python tests/mutation.py [subject ...]. For every number in the code of a subject it
rewrites the module in memory with that number changed, runs tests/evidence/test_<subject>.py, and prints a line
for each change that no test noticed. Exit code 1 when there is such a line.
"""

import ast
import contextlib
import importlib
import io
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
HANDBOOK = ROOT / "boardgen" / "handbook"
EVIDENCE = ROOT / "tests" / "evidence"

# A literal of one of these values is the shape of a formula (a sign, a square, two pi, a place in a row), never a
# measured or published constant; every other number is changed, defaults and table entries included.
STRUCTURAL = (0, 1, 2)


@dataclass(frozen=True)
class Change:
    """One number of a subject at its place in the source, and what it is changed to."""

    subject: str
    line: int
    column: int
    old: complex
    new: complex


def changes(subject: str) -> Iterator[Change]:
    """Every number of `subject` two per cent up and down; a whole number by the nearest whole step as well."""
    for node in ast.walk(ast.parse(source_of(subject))):
        if not isinstance(node, ast.Constant) or type(node.value) not in (int, float, complex):
            continue
        old = node.value
        if old in STRUCTURAL:
            continue
        new_values = [old * 1.02, old * 0.98]
        if isinstance(old, int):
            step = max(1, round(old * 0.02))
            new_values += [old + step, old - step]
        for new in new_values:
            yield Change(subject, node.lineno, node.col_offset, old, new)


def source_of(subject: str) -> str:
    return (HANDBOOK / f"{subject}.py").read_text(encoding="utf-8")


class Replace(ast.NodeTransformer):
    """Puts the new number where the change says."""

    def __init__(self, change: Change):
        self.change = change

    def visit_Constant(self, node: ast.Constant) -> ast.Constant:
        if (node.lineno, node.col_offset) == (self.change.line, self.change.column):
            return ast.copy_location(ast.Constant(self.change.new), node)
        return node


def noticed(change: Change) -> bool:
    """Whether the evidence tests of the subject fail, or the module no longer loads, with the change in place."""
    tree = Replace(change).visit(ast.parse(source_of(change.subject)))
    try:
        load(change.subject, tree)
    except (TypeError, ValueError):
        return True
    return run(change.subject) != pytest.ExitCode.OK


def load(subject: str, tree: ast.Module) -> None:
    """Run `tree` in the place of the module, so that whoever holds the module sees it."""
    module = importlib.import_module(f"boardgen.handbook.{subject}")
    exec(compile(ast.fix_missing_locations(tree), f"{subject}.py", "exec"), module.__dict__)


def run(subject: str) -> int:
    """Exit code of the evidence tests of `subject`, read afresh, so that nothing of an earlier change is left."""
    for name in [name for name in sys.modules if name.rpartition(".")[2] == f"test_{subject}"]:
        del sys.modules[name]
    quiet = ("-x", "-q", "--tb=no", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:hypothesispytest")
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        return pytest.main([*quiet, str(EVIDENCE / f"test_{subject}.py")])


def survivors(subject: str) -> tuple[int, list[Change]]:
    """How many changes were tried on `subject`, and those that no test noticed."""
    sys.path.insert(0, str(ROOT))
    unchanged = ast.parse(source_of(subject))
    load(subject, unchanged)
    if run(subject) != pytest.ExitCode.OK:
        message = f"tests/evidence/test_{subject}.py must exist and pass before it can prove anything"
        raise RuntimeError(message)
    tried = list(changes(subject))
    unnoticed = [change for change in tried if not noticed(change)]
    # the next subject of this process may lean on this one
    load(subject, unchanged)
    return len(tried), unnoticed


def main(subjects: list[str]) -> int:
    if not subjects:
        found = sorted(path.stem for path in HANDBOOK.glob("*.py"))
        subjects = [subject for subject in found if any(changes(subject))]
    tried_in_all, survived_in_all = 0, 0
    with ProcessPoolExecutor(max_workers=2) as pool:
        for tried, survived in pool.map(survivors, subjects):
            tried_in_all += tried
            survived_in_all += len(survived)
            for change in survived:
                place = f"boardgen/handbook/{change.subject}.py:{change.line}:{change.column + 1}"
                sys.stdout.write(f"{place}: {change.old} became {change.new} and no test noticed\n")
    sys.stdout.write(f"{tried_in_all} changes tried in {len(subjects)} files, {survived_in_all} unnoticed\n")
    return 1 if survived_in_all else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
