"""A plan from a file with the specifications of its boxes, or every fault of them all at once."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace
from pydantic import ValidationError

from boardgen.model.problem import InputError, Place, Problem
from boardgen.spec.faults import Shape, from_validation
from boardgen.spec.keys import Spec
from boardgen.spec.lines import line_numbers
from boardgen.spec.load import file_text, load, placed, toml_data
from boardgen.station.consistency import between_files, inconsistencies
from boardgen.station.feasible import impossibilities
from boardgen.station.keys import Box, ControlCable, Direction, FeederCable, Plan, Receiver, Remote, Source

SHAPE = Shape(
    {
        "": Plan,
        "source": Source,
        "box": Box,
        "box.feeder": FeederCable,
        "box.control": ControlCable,
        "receiver": Receiver,
        "remote": Remote,
        "direction": Direction,
    },
    ("box", "remote", "direction"),
    {
        ("source",): "write [source] with outputs under it",
        ("source", "outputs"): "write outputs = 8 under [source]: how many contacts there are",
        ("box",): "write [[box]] with name and spec under it, once for each box",
        ("box", "name"): 'write name = "dune" under [[box]]',
        ("box", "spec"): 'write spec = "dune.toml" under [[box]]: the specification of the box',
        ("remote",): "write [[remote]] with name and antenna under it, once for each remote",
        ("remote", "name"): 'write name = "pair switch a" under [[remote]]',
        ("remote", "antenna"): 'write antenna = "dune/north-east" under [[remote]]: box and antenna',
        ("direction",): "write [[direction]] with label, bearing and antenna under it, once for each direction",
        ("direction", "label"): 'write label = "north-east" under [[direction]]',
        ("direction", "bearing"): 'write bearing = "45 deg" under [[direction]]',
        ("direction", "antenna"): 'write antenna = "dune/north-east" under [[direction]]: box and antenna',
    },
)
"""What a plan may hold, for the sentences about its faults."""


class Loaded(Struct, frozen=True):
    """A plan, and the specification of each box by the box's name, with the plan's cables and supply in it."""

    plan: Plan
    specs: Mapping[str, Spec]
    text: str
    file_name: str

    def at_lines(self, found: Sequence[Problem]) -> tuple[Problem, ...]:
        """Problems whose place is a key of the plan, such as "box[2].control", with its file and line."""
        paths = {p.place.key: _path(p.place.key) for p in found if p.place.key}
        lines = line_numbers(self.text.removeprefix("\ufeff"), paths.values())
        return tuple(
            replace(p, place=Place(self.file_name, lines.get(paths.get(p.place.key, ())), p.place.key)) for p in found
        )


def load_plan(path: Path, text: str | None = None) -> Loaded:
    """The plan at `path`, or that text of it, with the boxes' specifications beside it.

    Raises InputError with every problem found.
    """
    text = file_text(path) if text is None else text
    data = toml_data(text, str(path))
    specs, found_in_specs = _specs(path.parent, data)
    problems = [p if p.place.file else _at_line(p, text, str(path)) for p in found_in_specs]
    try:
        plan = Plan.model_validate(data)
    except ValidationError as error:
        faults = from_validation(error, SHAPE)
        raise InputError([*placed(faults, set(), text, str(path)), *problems]) from None
    faults = [
        *inconsistencies(plan),
        *between_files(plan, {b.name: specs[b.spec] for b in plan.box if b.spec in specs}),
    ]
    found = [*placed(faults, set(), text, str(path)), *problems]
    if found:
        raise InputError(found)
    whole = {b.name: with_cables(plan, b, specs[b.spec]) for b in plan.box}
    impossible = placed(impossibilities(plan, whole), set(), text, str(path))
    if impossible:
        raise InputError(impossible)
    return Loaded(plan, whole, text, str(path))


def _at_line(problem: Problem, text: str, file_name: str) -> Problem:
    path = _path(problem.place.key)
    lines = line_numbers(text.removeprefix("\ufeff"), [path])
    return replace(problem, place=Place(file_name, lines.get(path), problem.place.key))


def _path(key: str) -> tuple[str | int, ...]:
    """The key path of "box[2].control": tables of a list are counted from 1 there, from 0 in a path."""
    steps = re.findall(r"([^.\[\]]+)|\[([0-9]+)\]", key)
    return tuple(int(number) - 1 if number else name for name, number in steps)


def _specs(folder: Path, data: Mapping[str, object]) -> tuple[dict[str, Spec], list[Problem]]:
    """The specifications that can be read, by their path in the plan, and what is wrong with the others."""
    rows = data.get("box")
    tables = [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
    named = [name.strip(" ") for row in tables if isinstance(name := row.get("spec"), str) and name.strip(" ")]
    specs: dict[str, Spec] = {}
    problems: list[Problem] = []
    for name in dict.fromkeys(named):
        if not (folder / name).exists():
            at = next(at for at, row in enumerate(tables) if str(row.get("spec")).strip(" ") == name)
            place = Place(key=f"box[{at + 1}].spec")
            found = f"there is no file {folder / name}"
            problems.append(
                Problem("S001 unreadable file", "error", place, found, "name a specification beside the plan")
            )
            continue
        try:
            specs[name] = load(folder / name)
        except InputError as error:
            problems += error.problems
    return specs, problems


def with_cables(plan: Plan, box: Box, spec: Spec) -> Spec:
    """The specification with the cables, the supply and the receiver of the plan in the place of its own."""
    control = {key: value for key in type(box.control).model_fields if (value := getattr(box.control, key)) is not None}
    feeder = {key: value for key in type(box.feeder).model_fields if (value := getattr(box.feeder, key)) is not None}
    feeder |= {"environment": plan.receiver.noise, "noise_figure": plan.receiver.figure}
    return spec.model_copy(
        update={
            "control": spec.control.model_copy(update={**control, "supply": plan.source.supply}),
            "feeder": spec.feeder.model_copy(update=feeder),
        }
    )
