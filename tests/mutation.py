"""Proves that tests notice a change of two per cent in any number of boardgen/handbook, and of what sizes and predicts.

Run it from the checkout: python tests/mutation.py [subject ...], where a subject is a file of the handbook, such as
"winding", or a module of ELSEWHERE, such as "sizing.rules". For every number in the code of a subject it rewrites the
module in memory with that number changed, runs the subject's tests, and prints a line for each change that no test
noticed. Exit code 1 when there is such a line. A file of the handbook is held by tests/evidence/test_<subject>.py.
Each change has a process of its own, a copy of one that has loaded the libraries and nothing of boardgen. It runs the
test first that noticed an earlier change of the subject; a change that makes tests run on without an end is noticed.
At last, or alone as the subject "figures", each stray and resistance of FIGURES is made a fifth larger and smaller,
which its evidence must notice.
"""

import ast
import importlib
import math
import os
import resource
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tests import mutated  # noqa: E402 - found from the checkout
from tests.processor_time import processor_s  # noqa: E402

HANDBOOK = ROOT / "boardgen" / "handbook"
EVIDENCE = ROOT / "tests" / "evidence"

# A literal of one of these values is the shape of a formula (a sign, a square, two pi, a place in a row), never a
# measured or published constant; every other number is changed, defaults and table entries included.
STRUCTURAL = (0, 1, 2)
QUIET = ("-x", "-q", "--tb=no", "-p", "no:cacheprovider", "-p", "no:xdist")
UNLIMITED = resource.RLIM_INFINITY

SPARED_NAMES = (
    "POINTS", "REACH", "EXTRA_TURNS", "START", "CHUNK", "TOUCHING", "LOOSE", "samples", "SLACK", "SAME_DIGITS",
    "LAYINGS", "CROWDED", "TRIES", "FACE",
)  # fmt: skip
"""Parts of names of counts of points, terms and trials, and of a flat face: how closely is computed, and not what."""
SPARED_CALLS = ("Symbol", "ring", "arcs", "Assembly")
"""What makes drawings, and tells of soldering."""

SIZED = "tests/sizing/test_independent.py"
PARTS = "tests/sizing/test_independent_parts.py"
CABLES = "tests/sizing/test_relay_network.py"
EDGES = "tests/sizing/test_edges.py"
PREFERRED = "tests/sizing/test_preference.py"
COMPENSATED = "tests/sizing/test_compensation.py"
BY_HAND = "tests/rf/test_rf_by_hand.py"
SOLVED = "tests/rf/test_rf_solver.py"
LAID_OUT = "tests/rf/test_rf_layout.py"
LAWS = "tests/rf_network/test_device_models.py"
ASSUMED = "tests/kinds/test_assumed_figures.py"
ELSEWHERE: Mapping[str, tuple[str, ...]] = {
    "catalogue.own_figures": ("tests/sizing/test_measured_winding.py",),
    "catalogue.permeability": ("tests/catalogue/test_catalogue_permeability.py",),
    "sizing.attenuator": ("tests/sizing/test_attenuator.py",),
    "sizing.bifilar": (SIZED, PARTS),
    "sizing.box": ("tests/sizing/test_box.py",),
    "sizing.cable": (CABLES,),
    "sizing.cable_choices": (EDGES, CABLES),
    "sizing.capacitor": (PARTS,),
    "sizing.choke": (EDGES, SIZED),
    "sizing.assumed_copper": (COMPENSATED, ASSUMED),
    "sizing.compensation": (COMPENSATED, ASSUMED),
    "sizing.copper": (EDGES, PARTS),
    "sizing.core": (SIZED,),
    "sizing.diode": (EDGES, CABLES, PARTS),
    "sizing.feed_line": (CABLES, PARTS, ASSUMED),
    "sizing.house_end": ("tests/documents/test_house_end.py", ASSUMED),
    "sizing.measured_winding": ("tests/sizing/test_measured_winding.py",),
    "sizing.preference": (PREFERRED,),
    "sizing.relay": (CABLES, PARTS, ASSUMED),
    "sizing.resistors": (EDGES, PARTS),
    "sizing.rules": (EDGES, SIZED, PARTS, CABLES, ASSUMED),
    "sizing.surge": (EDGES, PARTS),
    "sizing.transformer": (SIZED,),
    "sizing.winding": (EDGES, SIZED),
    "rf.coupling": (SOLVED, LAID_OUT),
    "rf.curves": (BY_HAND,),
    "rf.elements": (LAID_OUT, BY_HAND),
    "rf.quantities": (BY_HAND,),
    "rf.outside_filter": ("tests/rf/test_outside_filter.py", ASSUMED),
    "rf.strong_signals": ("tests/rf/test_strong_signals.py", ASSUMED),
    "rf_network.device_models": (LAWS,),
    "direct_current.curves": ("tests/direct_current/test_curves.py",),
    "kinds.junction": ("tests/kinds/test_junction.py",),
    **dict.fromkeys(
        (
            *(f"kinds.{kind}" for kind in ("bifilar_choke", "capacitor", "choke", "core", "diode", "direct_current")),
            *(f"kinds.{kind}" for kind in ("gas_tube", "indicator", "link", "relay", "suppressor")),
            *(f"rf.{part}" for part in ("clamp_on", "receive_path", "response", "strip_blocks", "tolerance")),
            "sizing.extras",
        ),
        (ASSUMED,),
    ),
}
"""Modules outside the handbook whose numbers size or predict a board, and the tests that hold them."""

FIGURES: Mapping[str, tuple[str, str, str]] = {
    "leakage": ("handbook.two_hole_winding", "leakage", "tests/evidence/test_two_hole_winding.py"),
    "interwinding capacitance": ("handbook.two_hole_winding", "capacitance", "tests/evidence/test_two_hole_winding.py"),
    "contact capacitance": ("kinds.relay", "_through_open", "tests/evidence/test_isolation.py"),
    "capacitance of chokes": ("handbook.reactance", "resonant_capacitance", "tests/evidence/test_choke_strays.py"),
    "coupling of chokes": ("handbook.dipole", "most_coupling", "tests/evidence/test_dipole.py"),
    "loss of chokes": ("rf_network.device_models", "choke_loss_ohm", "tests/evidence/test_choke_strays.py"),
    "capacitance of copper": ("board.field_solver", "charges", "tests/board/test_field_solver.py"),
    "inductance of copper": ("handbook.coplanar", "pair_inductance_h_per_m", "tests/evidence/test_coplanar.py"),
    "resistance of tracks": ("handbook.coplanar", "strip_resistance_ratio", "tests/evidence/test_coplanar.py"),
    "resistance of wire": ("handbook.wire", "resistance_ohm_per_m", "tests/evidence/test_wire.py"),
    "skin and proximity": (
        "handbook.eddy_currents", "alternating_resistance_ratio", "tests/evidence/test_eddy_currents.py",
    ),
}  # fmt: skip
"""Strays and resistances with the function that decides each, and the evidence that a fifth more or less breaks."""


@dataclass(frozen=True)
class Change:
    """One number of a subject at its place in the source, and what it is changed to."""

    subject: str
    line: int
    column: int
    old: complex
    new: complex


def changes(subject: str) -> Iterator[Change]:
    """Every number of `subject` two per cent up and down; a whole number by the nearest whole step as well.

    Those that belong to no formula are left as they are: counts, and outside the handbook words, drawings and scales.
    """
    tree = ast.parse(source_of(subject))
    spared = set(map(id, (*counts(tree), *(no_formula(tree) if subject in ELSEWHERE else ()))))
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or type(node.value) not in (int, float, complex):
            continue
        old = node.value
        if old in STRUCTURAL or id(node) in spared:
            continue
        new_values = [old * 1.02, old * 0.98]
        if isinstance(old, int):
            step = max(1, round(old * 0.02))
            new_values = [old + step, old - step] if subject in ELSEWHERE else [*new_values, old + step, old - step]
        for new in new_values:
            yield Change(subject, node.lineno, node.col_offset, old, new)


def counts(tree: ast.Module) -> Iterator[ast.AST]:
    """Numbers of caches, of points, terms and trials."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign | ast.AnnAssign):
            if any(name in ast.unparse(node).partition("=")[0] for name in SPARED_NAMES):
                yield from ast.walk(node)
        elif isinstance(node, ast.FunctionDef):
            yield from (inner for decorator in node.decorator_list for inner in ast.walk(decorator))


def no_formula(tree: ast.Module) -> Iterator[ast.AST]:
    """Numbers in words and their digits, of drawings and of soldering; and scales, powers of ten in code."""
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.JoinedStr)
            or (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "format")
            or (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SPARED_CALLS)
        ):
            yield from ast.walk(node)
        elif isinstance(node, ast.FunctionDef):
            yield from (inner for inner in ast.walk(node) if is_power_of_ten(inner))


def is_power_of_ten(node: ast.AST) -> bool:
    """Whether a node is the number 1e-9, 1e3 or another of these."""
    if not isinstance(node, ast.Constant) or not isinstance(node.value, int | float) or node.value <= 0:
        return False
    return math.log10(node.value).is_integer()


def module_of(subject: str) -> str:
    """The full name of its module."""
    return f"boardgen.{subject}" if subject in ELSEWHERE else f"boardgen.handbook.{subject}"


def path_of(subject: str) -> Path:
    return ROOT / f"{module_of(subject).replace('.', '/')}.py"


def source_of(subject: str) -> str:
    return path_of(subject).read_text(encoding="utf-8")


class Failed:
    """A plugin of pytest that keeps the names of tests that failed."""

    def __init__(self) -> None:
        self.names: list[str] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keeps the name."""
        if report.failed:
            self.names.append(report.nodeid)


def tests_of(subject: str) -> tuple[str, ...]:
    """The files of tests that hold a subject."""
    return ELSEWHERE.get(subject) or (f"tests/evidence/test_{subject}.py",)


def run(tests: Sequence[str], change: Change | None = None, most_s: int = UNLIMITED) -> tuple[bool, list[str]]:
    """Whether tests pass in a process of its own, with the change where there is one; and the names that failed.

    One that takes more than `most_s` seconds of processor time has not passed.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        _run(tests, change, most_s, writing)
    os.close(writing)
    with os.fdopen(reading) as pipe:
        failed = pipe.read().splitlines()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == pytest.ExitCode.OK, failed


def _run(tests: Sequence[str], change: Change | None, most_s: int, writing: int) -> None:
    """Runs the tests in the copy, and ends it whatever happens."""
    code = int(pytest.ExitCode.INTERNAL_ERROR)
    try:
        os.chdir(ROOT)
        for stream in (1, 2):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
        resource.setrlimit(resource.RLIMIT_CPU, (most_s, most_s))
        if change:
            mutated.change(module_of(change.subject), change.line, change.column, change.new)
        failed = Failed()
        # libraries that pytest would have rewritten are loaded already
        loaded = ("-W", "ignore::pytest.PytestAssertRewriteWarning")
        code = int(pytest.main([*QUIET, *loaded, *tests], plugins=[failed]))
        os.write(writing, "\n".join(failed.names).encode())
    finally:
        os._exit(code)


def unnoticed_figures() -> list[str]:
    """Figures of FIGURES which their evidence takes as well with a fifth more or less."""
    found = []
    for name, (module, function, test) in FIGURES.items():
        for factor in ("1", "1.2", "0.8"):
            environment = os.environ | {"PYTHONPATH": str(ROOT), "SCALE": f"boardgen.{module} {function} {factor}"}
            command = [sys.executable, "-m", "pytest", "-p", "tests.scaled", *QUIET, test]
            code = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, check=False).returncode
            if (code == pytest.ExitCode.OK) != (factor == "1"):
                found.append(f"{name} times {factor}")
    return found


def survivors(subject: str) -> tuple[int, list[Change]]:
    """How many changes were tried on `subject`, and those that no test noticed."""
    start = processor_s()
    passed, _ = run(tests_of(subject))
    if not passed:
        message = f"the tests of {subject} must exist and pass before they can prove anything"
        raise RuntimeError(message)
    most_s = 5 + round(5 * (processor_s() - start))
    tried = list(changes(subject))
    unnoticed = []
    first: list[str] = []
    for change in tried:
        if first and not run(first, change, most_s)[0]:
            continue
        passed, failed = run(tests_of(subject), change, most_s)
        if passed:
            unnoticed.append(change)
        elif failed:
            first = failed[:1]
    return len(tried), unnoticed


def prepare() -> None:
    """Loads what tests load, before the first copy is made."""
    for name in ("hypothesis", "mpmath", "msgspec", "numpy", "scipy.optimize"):
        importlib.import_module(name)


def main(subjects: list[str]) -> int:
    if subjects == ["figures"]:
        return 1 if scaled_figures() else 0
    all_of_it = not subjects
    if all_of_it:
        found = [*sorted(path.stem for path in HANDBOOK.glob("*.py")), *ELSEWHERE]
        subjects = [subject for subject in found if any(changes(subject))]
    tried_in_all, survived_in_all = 0, 0
    # the longest first, so that neither process waits at the end
    subjects = sorted(subjects, key=lambda subject: -sum(1 for _ in changes(subject)))
    with ProcessPoolExecutor(max_workers=2, initializer=prepare) as pool:
        for tried, survived in pool.map(survivors, subjects):
            tried_in_all += tried
            survived_in_all += len(survived)
            for change in survived:
                place = f"{path_of(change.subject).relative_to(ROOT)}:{change.line}:{change.column + 1}"
                sys.stdout.write(f"{place}: {change.old} became {change.new} and no test noticed\n")
    sys.stdout.write(f"{tried_in_all} changes tried in {len(subjects)} files, {survived_in_all} unnoticed\n")
    return 1 if survived_in_all + (len(scaled_figures()) if all_of_it else 0) else 0


def scaled_figures() -> list[str]:
    """Those that no evidence notices, each with a line."""
    unnoticed = unnoticed_figures()
    for name in unnoticed:
        sys.stdout.write(f"{name}: no evidence noticed\n")
    sys.stdout.write(f"{len(FIGURES)} figures a fifth larger and smaller, {len(unnoticed)} unnoticed\n")
    return unnoticed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
