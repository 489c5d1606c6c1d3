"""[[part]] tables to parts."""

from __future__ import annotations

from functools import partial

from boardgen.catalogue import reading
from boardgen.catalogue.blocks import Block, Table
from boardgen.catalogue.cells import Cells, as_standing
from boardgen.catalogue.faults import Faults
from boardgen.catalogue.later import Later
from boardgen.kinds import KIND
from boardgen.model.figure import STANDINGS, Figure, Standing
from boardgen.model.part import Part
from boardgen.spec.quantity import QuantityError

TEXTS = ("key", "kind", "maker", "number", "value", "description", "footprint", "unit", "standing", "source")
MAPS = ("attributes", "figures", "standings", "sources", "pins")
KEYS = (*TEXTS, *MAPS, "verify")
UNITS = ("piece", "m", "dm2")
_PINS = "pins"


def build_part(block: Block, table: Table, name: str, faults: Faults, later: bool = False) -> Part:
    """The part of a table, which may be a row of a family; its faults are added, what is wrong is left out.

    With `later` its figures are read when they are first looked at, which suits data that are known to be sound.
    """
    cells = Cells(block, table, name, faults)
    cells.only(KEYS)
    kind = cells.choice("kind", KIND)
    standing = cells.standing()
    source = cells.text("source", needed=True)
    standings, sources = _exceptions(cells, kind, "standings"), _exceptions(cells, kind, "sources")
    for figure, word in standings.items():
        if word not in STANDINGS:
            cells.unknown("K005 not a choice", "the standing", word, STANDINGS, "standings", figure)
    pins = _pins(cells, kind)
    figures = partial(_figures, cells, kind, standing, source, standings, sources)
    attributes = cells.texts("attributes")
    if pins:
        attributes["pin map"] = as_standing(standings.get(_PINS, standing))
        attributes["pin map source"] = sources.get(_PINS, source)
    return Part(
        cells.text("key", needed=True),
        kind,
        cells.text("maker", needed=True),
        cells.text("number", needed=True),
        cells.text("description", needed=True),
        cells.text("value"),
        standing,
        source,
        Later(figures) if later else figures(),
        pins,
        attributes,
        cells.text("footprint"),
        cells.choice("unit", UNITS, default="piece"),
        cells.lines("verify"),
    )


def _exceptions(cells: Cells, kind: str, key: str) -> dict[str, str]:
    """Standings or sources by figure name, or for the pins."""
    allowed = (*(KIND[kind].figures if kind in KIND else ()), _PINS)
    found = cells.texts(key)
    for name in found.keys() - set(allowed):
        cells.unknown("K007 unknown figure", "the figure", name, allowed, key, name)
    return found


def _figures(
    cells: Cells,
    kind: str,
    standing: Standing,
    source: str,
    standings: dict[str, str],
    sources: dict[str, str],
) -> dict[str, Figure]:
    known = KIND[kind].figures if kind in KIND else {}
    figures = {}
    for name, text in cells.texts("figures").items():
        if name not in known:
            cells.unknown("K007 unknown figure", "the figure", name, tuple(known), "figures", name)
            continue
        try:
            value, low, high = reading.read(text, known[name].unit)
        except QuantityError as error:
            cells.fault("K008 wrong value", error.found, error.wanted, "figures", name)
            continue
        figure_standing = as_standing(standings[name]) if name in standings else standing
        figures[name] = Figure(value, known[name].unit, figure_standing, sources.get(name, source), low, high)
    return figures


def _pins(cells: Cells, kind: str) -> dict[str, str]:
    """Pad by role; two roles never share a pad."""
    roles = KIND[kind].pins if kind in KIND else ()
    pins: dict[str, str] = {}
    for role, pad in cells.texts(_PINS).items():
        if role not in roles:
            cells.unknown("K009 unknown pin", "the pin", role, roles, _PINS, role)
        elif pad in pins.values():
            cells.fault("K006 used twice", f"pad {pad} serves two pins", "every pin has a pad of its own", _PINS, role)
        else:
            pins[role] = pad
    return pins
