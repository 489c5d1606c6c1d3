"""Reads everything a command works from: specification, catalogue, prices, earlier choices, the day."""

from __future__ import annotations

import math
import os
import re
from collections.abc import Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.catalogue import load as load_catalogue
from boardgen.catalogue.load import parts_folder
from boardgen.catalogue.measurement import Curve, read_measurement
from boardgen.cli.described import describe
from boardgen.cli.kept import kept_parts
from boardgen.cli.options import Data, Override
from boardgen.cli.pinned import check_pinned
from boardgen.design import Design
from boardgen.model.problem import InputError, Place, Problem
from boardgen.spec.keys import Spec
from boardgen.spec.load import load as load_spec
from boardgen.tables.text_file import read_tables

if TYPE_CHECKING:
    from boardgen.purchasing.offer import Offer

DAY_VARIABLE = "SOURCE_DATE_EPOCH"


class Inputs(Struct, frozen=True):
    """What was read, with what a manifest says of it."""

    design: Design
    price_problems: tuple[Problem, ...]
    manifest: Mapping[str, object]
    date_text: str


def read_inputs(
    spec_path: Path,
    override: Override,
    data: Data,
    catalogue: Catalogue | None = None,
    *,
    whole: bool = False,
    spec: Spec | None = None,
) -> Inputs:
    """Specification, catalogue and prices as one design, `whole` with prediction and layout.

    A `spec` that is given was read from that path already, and may have been changed since.
    Raises InputError with every fault of the first that fails.
    """
    spec = spec or load_spec(spec_path, override.keys())
    catalogue = catalogue or load_catalogue(_own_parts(data.parts))
    offers, problems = _offers(data, spec.order.currency)
    day = _day()
    kept = kept_parts(spec_path, spec.parts.keep)
    measured = _measured(spec_path, spec)
    design = check_pinned(Design(spec, catalogue, offers, day, kept, whole, measured, whole), spec_path)
    named = {"kept values": spec.parts.keep, **spec.measured.files}
    manifest = describe(spec_path, named, override, price_paths(data, spec.order.currency), data.parts, day)
    return Inputs(design, problems, manifest, day.isoformat() if day else "")


def read_sized(spec_path: Path, override: Override, data: Data, *, predicted: bool = False) -> Design:
    """The same without prices, for commands that only size."""
    spec: Spec = load_spec(spec_path, override.keys())
    kept = kept_parts(spec_path, spec.parts.keep)
    design = Design(
        spec,
        load_catalogue(_own_parts(data.parts)),
        kept=kept,
        predicted=predicted,
        measured=_measured(spec_path, spec),
    )
    return check_pinned(design, spec_path)


def _measured(spec_path: Path, spec: Spec) -> dict[str, Curve]:
    """The user's own curves; their paths are beside the specification."""
    low, high = spec.band.lowest, spec.band.highest
    return {key: read_measurement(spec_path.parent / name, key, low, high) for key, name in spec.measured.files.items()}


def _own_parts(folder: Path | None) -> Path | None:
    if folder is not None and not folder.is_dir():
        problem = Problem(
            "U002 parts folder", "error", Place(str(folder)), "this is not a folder", "name a folder of parts"
        )
        raise InputError([problem])
    return folder


def _offers(data: Data, currency: str) -> tuple[tuple[Offer, ...], tuple[Problem, ...]]:
    from boardgen.purchasing.price_tables import read_offers

    return read_offers(read_tables(price_paths(data, currency)))


def price_paths(data: Data, currency: str) -> list[Path]:
    """The files named, else those among the user's own parts, else the demonstration prices in that currency."""
    own = data.parts / "prices" if data.parts else None
    demonstration = parts_folder() / "prices"
    in_currency = demonstration / f"demo-{currency.lower()}.csv"
    if data.prices or own is None or not any(own.glob("*.csv")):
        return list(data.prices) or [in_currency if in_currency.is_file() else demonstration]
    return [own]


def _day() -> date | None:
    """The day of the build, from the environment only, so that equal inputs give equal bytes."""
    text = os.environ.get(DAY_VARIABLE)
    if text is None:
        return None
    try:
        seconds = int(text) if re.fullmatch("[0-9]+", text, re.ASCII) else -math.inf
        return datetime.fromtimestamp(seconds, UTC).date()
    except (ValueError, OverflowError, OSError):
        found = f"{DAY_VARIABLE} is {text!r}"
        problem = Problem("U003 date", "error", Place("environment"), found, "seconds since 1970 are allowed")
        raise InputError([problem]) from None
