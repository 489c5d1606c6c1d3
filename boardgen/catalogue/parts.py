"""[[part]] and [[family]] tables to parts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from msgspec import Struct, field

from boardgen.catalogue import figure_text
from boardgen.kinds import KIND
from boardgen.kinds.kind import KnownFigure
from boardgen.model.figure import STANDINGS, Figure, Standing
from boardgen.model.part import Part, Supply
from boardgen.tables.column import column
from boardgen.tables.fault import Faults, FieldError
from boardgen.tables.toml_table import ABSENT, NO_CHOICE, Block, TomlTable
from boardgen.tables.toml_text import Document

UNKNOWN_FIGURE, WRONG_VALUE, UNKNOWN_FIELD = "K007 unknown figure", "K008 wrong value", "K012 unknown field"
MAPS = ("attributes", "figures", "standings", "sources", "pins")
_PINS = "pins"
_FIELD = re.compile(r"\{([^{}]*)\}")
TextByName = Mapping[str, str]


class PartTable(Struct, frozen=True, kw_only=True):
    """[[part]]: one thing that can be bought."""

    key: Annotated[str, column("small letters, kind first")]
    kind: Annotated[str, column("a kind of boardgen/kinds")]
    maker: Annotated[str, column('who makes it; "any" where anybody does')]
    number: Annotated[str, column("what to order")]
    value: Annotated[str, column("its value in words")] = ""
    description: Annotated[str, column("what it is")]
    footprint: Annotated[str, column("key of a footprint")] = ""
    unit: Annotated[Literal["piece", "m", "dm2"], column("in what it is counted")] = "piece"
    standing: Annotated[Standing, column("how sure every figure and the pin map is, save the exceptions")]
    source: Annotated[str, column("where they are from, save the exceptions")]
    attributes: Annotated[dict[str, str], column("facts in words, by name")] = field(default_factory=dict)
    figures: Annotated[dict[str, str], column("figures of its kind with unit and tolerance")] = field(
        default_factory=dict
    )
    standings: Annotated[dict[str, str], column("exceptions, by figure or pins")] = field(default_factory=dict)
    sources: Annotated[dict[str, str], column("exceptions, by figure or pins")] = field(default_factory=dict)
    pins: Annotated[dict[str, str], column("pad number by role")] = field(default_factory=dict)
    supply: Annotated[Supply, column("made, unconfirmed (or its order number), or ended")] = "made"
    cost_class: Annotated[
        Literal["", "1", "2", "3", "4", "5"],
        column("its cost within its kind, each class half more"),
    ] = ""
    verify: Annotated[tuple[str, ...], column("sentences on what to check before ordering")] = ()


class FamilyTable(Struct, frozen=True):
    """[[family]]: the keys of a part that all its parts share, and one row of texts each for what differs."""

    key_pattern: Annotated[str, column("makes the keys: choke-own-{value}")] = ""
    columns: Annotated[tuple[str, ...], column('a key of a part, a figure, or such as "attributes.size"')] = ()
    rows: Annotated[tuple[object, ...], column("a list of texts for each part; an empty text is a blank")] = ()


KEYS = PartTable.__struct_fields__
_TEXTS = tuple(key for key in KEYS if key not in (*MAPS, "verify"))


def build_part(block: Block, table: Document, name: str, faults: Faults) -> Part:
    """The part of a table, which may be a row of a family; its faults are added, what is wrong is left out.

    Parameters
    ----------
    block
        Where it stands.
    table
        Its keys.
    name
        What faults are reported by.
    faults
        To which they are added.

    """
    read = TomlTable(block, PartTable, faults, table, name)
    part = read.values
    if part.kind and part.kind not in KIND:
        read.unknown(NO_CHOICE, "the kind", part.kind, KIND, "kind")
    for key, exceptions in (("standings", part.standings), ("sources", part.sources)):
        allowed = (*_figures_of(part.kind), _PINS)
        for figure in exceptions.keys() - set(allowed):
            read.unknown(UNKNOWN_FIGURE, "the figure", figure, allowed, key, figure)
    for figure, word in part.standings.items():
        if word not in STANDINGS:
            read.unknown(NO_CHOICE, "the standing", word, STANDINGS, "standings", figure)
    pins = _pins(read)
    attributes = part.attributes
    if pins:
        pin_map = {"pin map": _standing(part, _PINS), "pin map source": part.sources.get(_PINS, part.source)}
        attributes = {**attributes, **pin_map}
    return Part(
        part.key,
        part.kind,
        part.maker,
        part.number,
        part.description,
        part.value,
        part.standing,
        part.source,
        _figures(read),
        pins,
        attributes,
        part.footprint,
        part.unit,
        part.verify,
        part.supply,
        int(part.cost_class or 0),
    )


def parts_of_family(block: Block, faults: Faults) -> Iterator[Part]:
    """A part for each row; faults are added."""
    read = TomlTable(block, FamilyTable, faults, beside=KEYS)
    columns, rows = read.values.columns, read.values.rows
    homes = [_home(read, name) for name in columns]
    if not columns or not rows:
        read.fault(ABSENT, "columns or rows are absent", "wanted are columns = [...] and rows = [[...], ...]")
        return
    shared = {key: value for key, value in block.table.items() if key in KEYS}
    for number, row in enumerate(rows, 1):
        if not (isinstance(row, list) and len(row) == len(columns) and all(isinstance(cell, str) for cell in row)):
            wanted = f"wanted are {len(columns)} texts: {', '.join(columns)}"
            read.fault("K010 wrong row", f"row {number} does not fit the columns", wanted, "rows")
            continue
        table = _filled(shared, homes, row)
        if "key" not in table:
            table["key"] = filled_pattern(read, "key_pattern", dict(zip(columns, row, strict=True)))
        yield build_part(block, table, str(table["key"]), faults)


def filled_pattern(read: TomlTable[Any], key: str, fields: TextByName) -> str:
    """The pattern under that key with each {field} filled in; keys of parts are in small letters without spaces."""
    pattern = str(getattr(read.values, key))
    for name in _FIELD.findall(pattern):
        if name not in fields:
            read.unknown(UNKNOWN_FIELD, "the field", name, tuple(fields), key)
    filled = _FIELD.sub(lambda match: fields.get(match[1], ""), pattern)
    return filled.lower().replace(" ", "") if key == "key_pattern" else filled


def _home(read: TomlTable[FamilyTable], name: str) -> tuple[str, str]:
    """The table a column belongs to, empty for the part itself, and its name there."""
    table, _, inner = name.partition(".")
    if table in MAPS and inner:
        return table, inner
    if name in (*_TEXTS, "verify"):
        return "", name
    known = _figures_of(str(read.table.get("kind")))
    if name not in known:
        read.unknown(UNKNOWN_FIGURE, "the column", name, (*_TEXTS, *known, "attributes.NAME"), "columns", name)
    return "figures", name


def _filled(shared: Document, homes: list[tuple[str, str]], row: list[str]) -> Document:
    """The shared keys with the cells of one row; an empty cell is a blank, and sentences to verify add up."""
    table = {key: dict(value) if isinstance(value, dict) else value for key, value in shared.items()}
    for (home, name), cell in zip(homes, row, strict=True):
        if not cell:
            continue
        if home:
            inner = table.setdefault(home, {})
            if isinstance(inner, dict):
                inner[name] = cell
        elif name == "verify":
            before = table.get("verify", [])
            table["verify"] = [*before, cell] if isinstance(before, list) else cell
        else:
            table[name] = cell
    return table


def _figures_of(kind: str) -> Mapping[str, KnownFigure]:
    return KIND[kind].figures if kind in KIND else {}


def _standing(part: PartTable, name: str) -> Standing:
    """The standing of a figure or of the pins; of a part whose standing is wrong the weakest."""
    word = part.standings.get(name, part.standing)
    return next((standing for standing in STANDINGS if standing == word), STANDINGS[-1])


def _figures(read: TomlTable[PartTable]) -> dict[str, Figure]:
    part = read.values
    known = _figures_of(part.kind)
    figures = {}
    for name, text in part.figures.items():
        if name not in known:
            read.unknown(UNKNOWN_FIGURE, "the figure", name, tuple(known), "figures", name)
            continue
        unit = known[name].unit
        try:
            value, low, high = figure_text.read(text, unit)
        except FieldError as error:
            read.fault(WRONG_VALUE, error.found, error.wanted, "figures", name)
            continue
        figures[name] = Figure(value, unit, _standing(part, name), part.sources.get(name, part.source), low, high)
    return figures


def _pins(read: TomlTable[PartTable]) -> dict[str, str]:
    """Pad by role; two roles never share a pad."""
    kind = read.values.kind
    roles = KIND[kind].pins if kind in KIND else ()
    pins: dict[str, str] = {}
    for role, pad in read.values.pins.items():
        if role not in roles:
            read.unknown("K009 unknown pin", "the pin", role, roles, _PINS, role)
        elif pad in pins.values():
            read.fault("K006 used twice", f"pad {pad} serves two pins", "every pin has a pad of its own", _PINS, role)
        else:
            pins[role] = pad
    return pins
