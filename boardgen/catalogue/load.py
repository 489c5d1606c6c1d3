"""Loads the data that come with the program, and a user's folder over them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct, field

from boardgen.catalogue.board_houses import read_board_houses
from boardgen.catalogue.catalogue import Catalogue
from boardgen.catalogue.footprints import WRONG_SIDE, build_footprint, run_of_numbers
from boardgen.catalogue.parts import build_part, parts_of_family
from boardgen.catalogue.permeability import Permeability, read_permeability
from boardgen.catalogue.series import Series, build_series
from boardgen.model.board_house import BoardHouse
from boardgen.model.part import Footprint, Part
from boardgen.model.problem import Place
from boardgen.tables.fault import Faults
from boardgen.tables.shown import shown
from boardgen.tables.text_file import read_text_file
from boardgen.tables.toml_table import UNREADABLE, Block, read_blocks

SORTS = ("part", "family", "footprint")
_KEY = re.compile(r"[a-z0-9][a-z0-9.-]*")
_Drawn = Mapping[str, tuple[Footprint, Block]]


class _Folder(Struct):
    """What one folder holds, each thing with the block it came from."""

    parts: dict[str, tuple[Part, Block]] = field(default_factory=dict)
    series: dict[str, tuple[Series, Block]] = field(default_factory=dict)
    footprints: dict[str, tuple[Footprint, Block]] = field(default_factory=dict)
    permeability: dict[str, Permeability] = field(default_factory=dict)
    resistors: list[str] = field(default_factory=list)
    houses: tuple[BoardHouse, ...] = ()


def parts_folder() -> Path:
    """`parts` inside the installed package, else beside the package in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "parts"
    return inside if inside.is_dir() else package.parent / "parts"


def load(own: Path | None = None) -> Catalogue:
    """The catalogue; `own` is a folder laid out like `parts`.

    A part or footprint of the same key in `own` replaces ours in its place; new ones are preferred to ours.
    Raises InputError with every fault found.
    """
    faults = Faults()
    ours = _read(parts_folder(), faults)
    first = _read(own, faults) if own is not None else _Folder()
    parts = {key: made for key, made in first.parts.items() if key not in ours.parts} | ours.parts | first.parts
    footprints = ours.footprints | first.footprints
    series = ours.series | first.series
    if own is not None:
        # ours alone are proven sound by a test
        _check(parts, footprints, faults)
    faults.raise_any()
    offers = dict.fromkeys([*first.resistors, *ours.resistors])
    return Catalogue(
        {key: part for key, (part, _) in parts.items()},
        {key: footprint for key, (footprint, _) in footprints.items()},
        ours.permeability | first.permeability,
        tuple(series[key][0] if key in series else parts[key][0] for key in offers),
        (first.houses or ours.houses)[0],
    )


def _read(folder: Path, faults: Faults) -> _Folder:
    found = _Folder()
    if not folder.is_dir():
        place = Place(folder.as_posix())
        faults.add(UNREADABLE, place, "there is no such folder", "wanted is a folder of parts")
        return found
    for path in sorted(folder.glob("*.toml")):
        for block in _blocks(path, faults):
            _add_block(found, block, faults)
    found.permeability = read_permeability(folder, faults)
    found.houses = read_board_houses(folder, faults)
    return found


def _blocks(path: Path, faults: Faults) -> list[Block]:
    """The parts, families and footprints of a file, in its order; none, and a fault, where it cannot be read."""
    file = path.as_posix()
    try:
        return read_blocks(read_text_file(path), file, SORTS, faults)
    except (OSError, UnicodeDecodeError) as error:
        faults.add(UNREADABLE, Place(file), f"the file cannot be read: {error}", "wanted is UTF-8 text")
        return []


def _add_block(found: _Folder, block: Block, faults: Faults) -> None:
    if block.sort == "footprint":
        footprint = build_footprint(block, faults)
        _once(block, footprint.key, found.footprints, faults)
        found.footprints[footprint.key] = footprint, block
    elif block.sort == "part":
        _add(found, build_part(block, block.table, block.name, faults), block, faults)
    elif "series" in block.table:
        _add_series(found, block, faults)
    else:
        for part in parts_of_family(block, faults):
            _add(found, part, block, faults)


def _add(found: _Folder, part: Part, block: Block, faults: Faults) -> None:
    _once(block, part.key, found.parts, faults)
    found.parts[part.key] = part, block
    if part.kind == "resistor":
        found.resistors.append(part.key)


def _add_series(found: _Folder, block: Block, faults: Faults) -> None:
    series = build_series(block, faults)
    if series is not None:
        _once(block, series.key_pattern, found.series, faults)
        found.series[series.key_pattern] = series, block
        found.resistors.append(series.key_pattern)


def _once(block: Block, key: str, taken: Mapping[str, tuple[object, Block]], faults: Faults) -> None:
    if key and not _KEY.fullmatch(key.replace("{code}", "")):
        wanted = "wanted are small letters, digits, full stops and hyphens"
        faults.add("K015 wrong key", block.place("key", name=key), f"{shown(key)} cannot be a key", wanted)
    elif key in taken:
        before = taken[key][1].place()
        wanted = f"the other is in {before.file}, line {before.line}"
        faults.add(
            "K006 used twice", block.place("key", name=key), f'the key "{key}" stands twice in one folder', wanted
        )


def _check(parts: Mapping[str, tuple[Part, Block]], footprints: _Drawn, faults: Faults) -> None:
    """What can only be told of all files together."""
    for part, block in parts.values():
        _check_pads(part, block, footprints, faults)
    _check_upright(footprints, faults)
    _check_sides({part.footprint for part, _ in parts.values() if part.kind == "relay"}, footprints, faults)


def _check_pads(part: Part, block: Block, footprints: _Drawn, faults: Faults) -> None:
    """The footprint is known, and has a pad for every pin."""
    if not part.footprint:
        return
    if part.footprint not in footprints:
        place = block.place("footprint", name=part.key)
        faults.unknown("K013 unknown footprint", place, "the footprint", part.footprint, footprints)
        return
    footprint, _ = footprints[part.footprint]
    numbers = [pad.number for pad in footprint.pads]
    for role, pad in part.pins.items():
        if pad not in numbers and not footprint.gap:
            place = block.place("pins", role, name=part.key)
            faults.unknown("K014 no such pad", place, f"in footprint {footprint.key} the pad", pad, numbers)


def _check_upright(footprints: _Drawn, faults: Faults) -> None:
    """The pattern of a part standing on end is known, and has the same pads in the same order."""
    for footprint, block in footprints.values():
        if not footprint.upright:
            continue
        if footprint.upright not in footprints:
            faults.unknown(
                "K013 unknown footprint", block.place("upright"), "the footprint", footprint.upright, footprints
            )
            continue
        other, _ = footprints[footprint.upright]
        pads, wanted = [p.number for p in other.pads], [p.number for p in footprint.pads]
        if pads != wanted:
            text = f"{other.key} has the pads {', '.join(pads)}"
            faults.add(
                "K014 no such pad", block.place("upright"), text, f"wanted are {', '.join(wanted)}, in this order"
            )


def _check_sides(relays: set[str], footprints: _Drawn, faults: Faults) -> None:
    """The pads of a relay run anticlockwise seen from the component side, unless its footprint says otherwise."""
    for key in sorted(relays & footprints.keys()):
        footprint, block = footprints[key]
        if "numbering" not in block.table and run_of_numbers(footprint.pads) == "clockwise":
            faults.add(
                WRONG_SIDE,
                block.place("view"),
                "the pads of this relay run clockwise seen from the component side",
                "wanted is anticlockwise, as on a dual-in-line part",
                'A drawing that shows the terminals needs view = "bottom"; if it is truly so, numbering = "clockwise".',
            )
