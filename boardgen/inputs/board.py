"""Reads what a board is made from: specification, catalogue, prices, earlier choices, measured curves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.catalogue import load as load_catalogue
from boardgen.catalogue.load import parts_folder
from boardgen.catalogue.measurement import read_measurement
from boardgen.catalogue.own_figures import RELAY_CURVES
from boardgen.handbook import isolation
from boardgen.inputs.digests import describe
from boardgen.inputs.kept import kept_parts
from boardgen.inputs.table_files import PATTERNS, read_tables
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.makers_numbers import keys_by_number
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.price_tables import read_offers
from boardgen.request import Request
from boardgen.rf.in_hand import with_coax
from boardgen.sizing.pins import check_pins
from boardgen.spec.keys import Spec
from boardgen.spec.lines import SpecText
from boardgen.spec.load import file_text
from boardgen.spec.load import load as load_spec

NO_OVERRIDES: Mapping[str, str] = {}


class Sources(Struct, frozen=True, kw_only=True):
    """Where the inputs of a board come from beside its specification.

    Parameters
    ----------
    overrides : keys of the specification by their dotted names, such as {"band.lowest": "472 kHz"}; they win over it.
    parts : a folder of the user's own parts, None for none.
    prices : price files and folders of them; without any, those among the user's own parts, else invented ones.
    on : the day for which prices are judged and which is written into the files, None for none.

    """

    overrides: Mapping[str, str] = NO_OVERRIDES
    parts: Path | None = None
    prices: tuple[Path, ...] = ()
    on: date | None = None


class BoardInputs(Struct, frozen=True):
    """What was read, what is wrong in the prices, and what a manifest says of the files."""

    request: Request
    offers: tuple[Offer, ...]
    price_problems: tuple[Problem, ...]
    on: date | None
    manifest: Mapping[str, object]

    @property
    def spec(self) -> Spec:
        """The specification."""
        return self.request.spec

    @property
    def date_text(self) -> str:
        """The day as it is written into files, "" for none."""
        return self.on.isoformat() if self.on else ""


def read_board(
    path: Path, sources: Sources, catalogue: Catalogue | None = None, spec: Spec | None = None
) -> BoardInputs:
    """Everything a board is made from.

    A `catalogue` that is given was read already; a `spec` that is given was read from that path, and may have been
    changed since. Raises InputError with every fault of the first file that fails.
    """
    request = read_request(path, sources, catalogue, spec)
    spec = request.spec
    prices = price_paths(sources.parts, sources.prices, spec.order.currency)
    offers, problems = read_offers(read_tables(prices), keys_by_number(request.catalogue.parts.values()))
    if wrong_kind := [problem for problem in problems if problem.severity == "error"]:
        raise InputError(wrong_kind)
    named = {"kept values": spec.parts.keep, **spec.measured.files}
    manifest = describe(path, named, sources.overrides, prices, sources.parts, sources.on)
    return BoardInputs(request, offers, problems, sources.on, manifest)


def read_request(path: Path, sources: Sources, catalogue: Catalogue | None = None, spec: Spec | None = None) -> Request:
    """The same without prices, for what is only sized or predicted."""
    spec = spec or load_spec(path, sources.overrides)
    catalogue = catalogue or read_catalogue(sources.parts)
    source = SpecText(str(path), file_text(path), frozenset(sources.overrides))
    try:
        kept = kept_parts(path, spec.parts.keep)
        spec = with_coax(spec, catalogue.parts)
        request = Request(spec, catalogue, kept, measured=_measured(path, spec), source=source)
        check_pins(request)
    except InputError as error:
        raise InputError(source.at_lines(error.problems)) from None
    return request


def _measured(path: Path, spec: Spec) -> dict[str, tuple[tuple[float, complex], ...]]:
    """The user's own curves by key of [measured].

    Raises InputError at the key of a file that is not there, and as `read_measurement` does.
    """
    low, high = spec.band.lowest, spec.band.highest
    absent = [
        Problem("S031 measurement", "error", Place(key=f"measured.{key}"), f"there is no file {path.parent / name}")
        for key, name in spec.measured.files.items()
        if not (path.parent / name).is_file()
    ]
    if absent:
        raise InputError(absent)
    curves = {key: read_measurement(path.parent / name, key, low, high) for key, name in spec.measured.files.items()}
    for key in RELAY_CURVES.keys() & curves:
        try:
            isolation.fitted([(hz, value.real) for hz, value in curves[key]], spec.measured.relay.isolation_impedance)
        except ValueError as error:
            place = Place(str(path.parent / spec.measured.files[key]), key=f"measured.{key}")
            wanted = f"a contact is one capacitance: no point may lie over {isolation.FURTHEST_FACTOR:g} times off"
            hint = "Leave out what lies beyond a resonance, or write through_capacitance in its place."
            raise InputError([Problem("S039 isolation", "error", place, str(error), wanted, hint)]) from None
    return curves


def price_paths(parts: Path | None, prices: Sequence[Path], currency: str) -> list[Path]:
    """The files named, else those among the user's own parts, else the demonstration prices in that currency."""
    own = parts / "prices" if parts else None
    demonstration = parts_folder() / "prices"
    in_currency = demonstration / f"demo-{currency.lower()}.csv"
    if prices or own is None or not any(file for pattern in PATTERNS for file in own.glob(pattern)):
        return list(prices) or [in_currency if in_currency.is_file() else demonstration]
    return [own]


def read_catalogue(parts: Path | None) -> Catalogue:
    """Our parts and the user's own. Raises InputError where that is no folder, or with every fault of its files."""
    if parts is not None and not parts.is_dir():
        problem = Problem(
            "U002 parts folder", "error", Place(str(parts)), "this is not a folder", "name a folder of parts"
        )
        raise InputError([problem])
    return load_catalogue(parts)
