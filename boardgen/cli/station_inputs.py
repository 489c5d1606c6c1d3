"""Reads everything a station is worked out from: the plan, its boxes, a selector of the user's own."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.catalogue import load as load_catalogue
from boardgen.cli.inputs import Inputs, read_inputs
from boardgen.cli.options import Data, Override
from boardgen.model.problem import InputError, Problem
from boardgen.spec.keys import Spec
from boardgen.spec.load import load as load_spec
from boardgen.spec.load import placed
from boardgen.station.consistency import GENERATED, selector_faults
from boardgen.station.load import Loaded, load_plan, with_cables
from boardgen.station_design import StationDesign


class StationInputs(Struct, frozen=True):
    """What was read. `selector` is None where it is generated, or one box needs none."""

    loaded: Loaded
    boxes: dict[str, Inputs]
    selector: Inputs | None
    design: StationDesign

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short in the station itself, with the lines of the plan."""
        return self.loaded.at_lines(self.design.problems)


def read_station(
    plan: Path, data: Data, override: Override | None = None, catalogue: Catalogue | None = None
) -> StationInputs:
    """The plan with everything it names. Raises InputError with every fault of the first that fails."""
    override = override or Override()
    loaded = load_plan(plan)
    catalogue = catalogue or load_catalogue(data.parts)
    boxes = _boxes(plan, loaded, override, data, catalogue)
    selector = _own_selector(plan, loaded, override, data, catalogue)
    made = {name: inputs.design for name, inputs in boxes.items()}
    design = StationDesign(loaded.plan, made, catalogue, selector.design if selector else None)
    if selector and (faults := selector_faults(loaded.plan, selector.design.spec, design.rest)):
        raise InputError(placed(faults, set(), loaded.text, loaded.file_name))
    return StationInputs(loaded, boxes, selector, design)


def of_boxes(boxes: dict[str, Inputs]) -> tuple[Problem, ...]:
    """What falls short in each box, its name before it; what several boxes share is said once by the printing."""
    found: list[Problem] = []
    for name, inputs in boxes.items():
        found += [named(name, p) for p in inputs.design.problems]
        found += [p for p in inputs.price_problems if p not in found]
    return tuple(found)


def named(name: str, problem: Problem) -> Problem:
    """A problem of a board with the board's name before its place."""
    key = f"{name}: {problem.place.key}" if problem.place.key else name
    return replace(problem, place=replace(problem.place, key=key))


def _boxes(plan: Path, loaded: Loaded, override: Override, data: Data, catalogue: Catalogue) -> dict[str, Inputs]:
    """Every box with the plan's cables; every fault of them at once."""
    found: dict[str, Inputs] = {}
    faults: list[Problem] = []
    for box in loaded.plan.box:
        path = plan.parent / box.spec
        try:
            spec: Spec = loaded.specs[box.name]
            if override.keys():
                spec = with_cables(loaded.plan, box, load_spec(path, override.keys()))
            found[box.name] = read_inputs(path, override, data, catalogue, whole=True, spec=spec)
        except InputError as error:
            faults += error.problems
    if faults:
        raise InputError(faults)
    return found


def _own_selector(plan: Path, loaded: Loaded, override: Override, data: Data, catalogue: Catalogue) -> Inputs | None:
    """The selector that the plan names; None where it is generated, or one box needs none."""
    own = loaded.plan.receiver.selector
    if own == GENERATED or len(loaded.plan.box) == 1:
        return None
    return read_inputs(plan.parent / own, override, data, catalogue, whole=True)
