"""Reads the specifications, plans and built folders whose parts are ordered together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.catalogue.load import parts_folder
from boardgen.inputs.board import BoardInputs, Sources, price_paths, read_board
from boardgen.inputs.built import Built, built_currency, read_built
from boardgen.inputs.digests import digest
from boardgen.inputs.station import StationInputs, read_station
from boardgen.model.problem import InputError
from boardgen.spec.load import file_text
from boardgen.spec.load import load as load_spec
from boardgen.station.load import load_plan
from boardgen.tables.toml_text import TomlError, read_toml

DEMO_TERMS = "demo-suppliers.csv"


class Ordered(Struct, frozen=True):
    """One specification, plan or built folder of an order, and the overrides that were given for it."""

    inputs: BoardInputs | StationInputs | Built
    overrides: Mapping[str, str]

    @property
    def title(self) -> str:
        """Of the board or of the station."""
        match self.inputs:
            case StationInputs(loaded=loaded):
                return loaded.plan.title
            case BoardInputs(spec=spec):
                return spec.title
            case built:
                return built.title

    @property
    def names(self) -> tuple[tuple[str, str, str], ...]:
        """Title, revision, and place in a station or "", of every board that is ordered by it."""
        inputs = self.inputs
        if isinstance(inputs, BoardInputs):
            return ((inputs.spec.title, inputs.spec.revision, ""),)
        return inputs.names

    @property
    def manifest(self) -> Mapping[str, object]:
        """What a manifest says of it."""
        inputs = self.inputs
        if not isinstance(inputs, StationInputs):
            return inputs.manifest
        boxes = {name: dict(box.manifest) for name, box in inputs.boxes.items()}
        own = {"selector": dict(inputs.selector.manifest)} if inputs.selector else {}
        return {"plan": digest(inputs.path, inputs.path.parent), "boxes": boxes, **own}


def read_ordered(specs: Sequence[Path], sources: Sequence[Sources], catalogue: Catalogue) -> tuple[Ordered, ...]:
    """Each specification, plan or folder, with its own sources.

    Raises InputError with every fault of the first that fails.
    """
    found: list[Ordered] = []
    for path, own in zip(specs, sources, strict=True):
        inputs: BoardInputs | StationInputs | Built
        if path.is_dir():
            inputs = read_built(path, catalogue, own.overrides)
        elif is_plan(path):
            inputs = read_station(path, own, catalogue)
        else:
            inputs = read_board(path, own, catalogue)
        found.append(Ordered(inputs, own.overrides))
    return tuple(found)


def order_price_paths(
    parts: Path | None, prices: Sequence[Path], currency: str, *, demonstration_too: bool = False
) -> list[Path]:
    """The price files of a build, with the terms of the demonstration's suppliers beside its prices."""
    folder = parts_folder() / "prices"
    paths = price_paths(parts, prices, currency)
    if demonstration_too:
        paths += [path for path in price_paths(None, (), currency) if path not in paths]
    demonstration = any(path.parent == folder for path in paths)
    return [*paths, folder / DEMO_TERMS] if demonstration else paths


def is_plan(path: Path) -> bool:
    """Whether the file is a station's plan. What cannot be read is left to those who read it in full."""
    try:
        data = read_toml(file_text(path))
    except (InputError, TomlError):
        return False
    # a board has one [box], the enclosure that it goes into
    return "direction" in data or isinstance(data.get("box"), list)


def currencies(specs: Sequence[Path], overrides: Sequence[Mapping[str, str]]) -> set[str]:
    """Those that the specifications are in, of a plan those of its boxes."""
    found: set[str] = set()
    for named, own in zip(specs, overrides, strict=True):
        if named.is_dir():
            found.add(own.get("order.currency") or built_currency(named))
        else:
            found |= {load_spec(path, own).order.currency for path in _specifications(named)}
    return found


def _specifications(named: Path) -> Iterator[Path]:
    if is_plan(named):
        yield from (named.parent / box.spec for box in load_plan(named).plan.box)
    else:
        yield named
