"""The station plans among what an order is asked for: their boards, and a list of what is needed beside them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.cli.described import digest
from boardgen.cli.inputs import read_inputs
from boardgen.cli.options import Data, OrderOverride, Override
from boardgen.cli.station_inputs import StationInputs, read_station
from boardgen.design import Design
from boardgen.model.problem import InputError, Problem
from boardgen.purchasing.demand import BoardNeeds
from boardgen.purchasing.needs import Need
from boardgen.purchasing.order import OrderedBoard
from boardgen.spec.load import file_text
from boardgen.spec.load import load as load_spec
from boardgen.station.load import load_plan
from boardgen.station.needs import of_board

BESIDE = "cables and source"


class Board(Struct, frozen=True):
    """A board of the order. `box` is its name in a station, "" where it is of none."""

    design: Design
    box: str = ""

    def needs(self, found: tuple[Need, ...]) -> tuple[Need, ...]:
        """The board's needs; a station has one fuse for all its boards."""
        return of_board(found) if self.box else found


class Wanted(Struct, frozen=True):
    """What the specifications and plans ask for, each named by its title, and what a manifest says of it."""

    boards: tuple[Board, ...]
    stations: tuple[StationInputs, ...]
    titles: tuple[str, ...]
    manifest: tuple[Mapping[str, object], ...]


def is_plan(path: Path) -> bool:
    """Whether the file is a station's plan. What cannot be read is left to those who read it in full."""
    try:
        data = tomllib.loads(file_text(path).removeprefix("\ufeff"))
    except (InputError, ValueError, RecursionError):
        return False
    return "box" in data or "direction" in data


def currencies(specs: Sequence[Path], override: OrderOverride) -> set[str]:
    """Those that the specifications are in, of a plan those of its boxes."""
    return {
        load_spec(path, override.of(number).keys()).order.currency
        for number, named in enumerate(specs)
        for path in _specifications(named)
    }


def _specifications(named: Path) -> Iterator[Path]:
    if is_plan(named):
        yield from (named.parent / box.spec for box in load_plan(named).plan.box)
    else:
        yield named


def read_wanted(specs: Sequence[Path], override: OrderOverride, data: Data) -> Wanted:
    """Everything read. Raises InputError with every fault of the first that fails."""
    boards: list[Board] = []
    stations: list[StationInputs] = []
    titles: list[str] = []
    manifest: list[Mapping[str, object]] = []
    catalogue: Catalogue | None = None
    for number, path in enumerate(specs):
        own = override.of(number)
        if is_plan(path):
            station = read_station(path, data, own, catalogue)
            boards += _boards(station, own)
            stations.append(station)
            titles.append(station.loaded.plan.title)
            manifest.append(_described(path, station))
        else:
            inputs = read_inputs(path, own, data, catalogue, whole=True)
            boards.append(Board(inputs.design))
            titles.append(inputs.design.spec.title)
            manifest.append(inputs.manifest)
        catalogue = boards[0].design.catalogue
    return Wanted(tuple(boards), tuple(stations), tuple(titles), tuple(manifest))


def _described(plan: Path, station: StationInputs) -> dict[str, object]:
    boxes = {name: dict(inputs.manifest) for name, inputs in station.boxes.items()}
    own = {"selector": dict(station.selector.manifest)} if station.selector else {}
    return {"plan": digest(plan, plan.parent), "boxes": boxes, **own}


def _boards(station: StationInputs, override: Override) -> Iterator[Board]:
    """The boxes, then the selector; a generated one is bought as the first box is, as many as are asked for."""
    design = station.design
    for name, box in design.boxes.items():
        yield Board(box, f"box {name}")
    if design.selector is not None:
        selector = design.selector
        if design.own_selector is None and override.keys():
            first = next(iter(design.boxes.values())).spec.order
            boards = first.boards if override.boards else selector.spec.order.boards
            order = first.model_copy(update={"boards": boards})
            selector = replace(selector, spec=selector.spec.model_copy(update={"order": order}))
        yield Board(selector, "selector")


def beside(station: StationInputs, several: bool) -> BoardNeeds:
    """What the station takes beside its boards, with the spares of its first box."""
    title = f"{station.loaded.plan.title}: {BESIDE}" if several else BESIDE
    spares = next(iter(station.design.boxes.values())).spares
    return BoardNeeds(OrderedBoard(title, "", 0), station.design.beside.needs, spares)


def problems(stations: Sequence[StationInputs]) -> tuple[Problem, ...]:
    """What falls short in the stations themselves, and what of them cannot be ordered."""
    found: list[Problem] = []
    for station in stations:
        found += station.loaded.at_lines(station.design.beside.problems)
        found += [p for p in station.problems if p.severity in ("error", "shortfall")]
    return tuple(found)
