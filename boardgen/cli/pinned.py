"""Places the faults of [parts], which only the catalogue can find, at their lines of the specification."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import replace

from boardgen.design import Design
from boardgen.model.problem import InputError, Place, Problem
from boardgen.sizing.pins import check_pins
from boardgen.spec.lines import line_numbers


def check_pinned(design: Design, spec_path: Path) -> Design:
    """The design. Raises InputError where [parts] names what the catalogue does not hold, or holds as another kind."""
    try:
        check_pins(design.asked)
    except InputError as error:
        raise InputError(_placed(error.problems, spec_path)) from None
    return design


def _placed(problems: Sequence[Problem], spec_path: Path) -> list[Problem]:
    paths = {problem: tuple(problem.place.key.split(".")) for problem in problems}
    lines = line_numbers(spec_path.read_text(encoding="utf-8-sig"), paths.values())
    return [replace(p, place=Place(str(spec_path), lines.get(path), p.place.key)) for p, path in paths.items()]
