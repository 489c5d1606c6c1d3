"""Reads everything a station is worked out from: the plan, its boxes, a selector of the user's own."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.catalogue import load as load_catalogue
from boardgen.inputs.board import BoardInputs, Sources, read_board
from boardgen.model.problem import InputError, Problem
from boardgen.spec.keys import Spec
from boardgen.spec.load import load as load_spec
from boardgen.spec.load import placed
from boardgen.station.consistency import GENERATED, selector_faults
from boardgen.station.feasible import chosen
from boardgen.station.load import Loaded, load_plan, with_cables
from boardgen.station.selector_spec import selector_title


class StationInputs(Struct, frozen=True):
    """What was read. `selector` is None where it is generated, or one box needs none."""

    path: Path
    loaded: Loaded
    catalogue: Catalogue
    boxes: dict[str, BoardInputs]
    selector: BoardInputs | None

    @property
    def date_text(self) -> str:
        """The day as it is written into files, "" for none."""
        return next(iter(self.boxes.values())).date_text

    @property
    def names(self) -> tuple[tuple[str, str, str], ...]:
        """Title, revision and place in the station of every board of it, the selector's last."""
        boxes = [(box.spec.title, box.spec.revision, f"box {name}") for name, box in self.boxes.items()]
        if self.selector is not None:
            boxes.append((self.selector.spec.title, self.selector.spec.revision, "selector"))
        elif len(boxes) > 1:
            plan = self.loaded.plan
            boxes.append((selector_title(plan), plan.revision, "selector"))
        return tuple(boxes)


def read_station(
    path: Path, sources: Sources, catalogue: Catalogue | None = None, text: str | None = None
) -> StationInputs:
    """The plan, or that text of it, with everything it names. Raises InputError with every fault of the first that
    fails.
    """
    loaded = load_plan(path, text)
    catalogue = catalogue or load_catalogue(sources.parts)
    boxes = _boxes(path, loaded, sources, catalogue)
    own = loaded.plan.receiver.selector
    if own == GENERATED or len(loaded.plan.box) == 1:
        return StationInputs(path, loaded, catalogue, boxes, None)
    selector = read_board(path.parent / own, sources, catalogue)
    rest = chosen(loaded.plan, {name: inputs.spec for name, inputs in boxes.items()}).wanted.rest
    if faults := selector_faults(loaded.plan, selector.spec, rest):
        raise InputError(placed(faults, set(), loaded.text, loaded.file_name))
    return StationInputs(path, loaded, catalogue, boxes, selector)


def _boxes(path: Path, loaded: Loaded, sources: Sources, catalogue: Catalogue) -> dict[str, BoardInputs]:
    """Every box with the plan's cables; every fault of them at once."""
    found: dict[str, BoardInputs] = {}
    faults: list[Problem] = []
    for box in loaded.plan.box:
        spec_path = path.parent / box.spec
        try:
            spec: Spec = loaded.specs[box.name]
            if sources.overrides:
                spec = with_cables(loaded.plan, box, load_spec(spec_path, sources.overrides))
            found[box.name] = read_board(spec_path, sources, catalogue, spec)
        except InputError as error:
            faults += error.problems
    if faults:
        raise InputError(faults)
    return found
