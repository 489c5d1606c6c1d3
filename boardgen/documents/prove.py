"""Proves a written fabrication folder: what its files draw and drill, against the netlist beside it."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import PurePosixPath
from typing import Any

import numpy as np
import sexpdata
import shapely

from boardgen.board.connectivity import BOTTOM, TOP, TOUCH_NM, CopperGeometry, compare, components, fault
from boardgen.formats.read_gerber import Layer, LayerError, read_gerber
from boardgen.formats.xnc import DrillError, read_drill
from boardgen.model.copper import PlacedPad, PointNm
from boardgen.model.problem import Place, Problem

COPPER = {"copper-top.gbr": (TOP, "Copper,L1,Top"), "copper-bottom.gbr": (BOTTOM, "Copper,L2,Bot")}
OTHERS = {
    "mask-top.gbr": "Soldermask,Top",
    "mask-bottom.gbr": "Soldermask,Bot",
    "silkscreen-top.gbr": "Legend,Top",
    "outline.gbr": "Profile,NP",
}
DRILLS = ("drill-plated.drl", "drill-unplated.drl")
NETLIST = "netlist.net"
NEAR_NM = 1000.0
"""Pieces this near are looked at more closely."""


class NetlistError(ValueError):
    """The netlist file cannot be read whole."""


def prove(files: Mapping[str, bytes], netlist: bytes) -> tuple[Problem, ...]:
    """Every fault found in the fabrication files, by name, against the netlist file; empty where they agree."""
    problems: list[Problem] = []
    layers: dict[str, Layer] = {}
    functions = {name: function for name, (_, function) in COPPER.items()} | OTHERS
    for name, function in functions.items():
        try:
            layers[name] = read_gerber(files[name].decode("ascii"))
        except KeyError:
            problems.append(_of_file(name, "the file is absent"))
            continue
        except (LayerError, UnicodeDecodeError) as error:
            problems.append(_of_file(name, f"the file cannot be read: {error}"))
            continue
        if layers[name].attributes.get("FileFunction") != function:
            said = layers[name].attributes.get("FileFunction", "nothing")
            problems.append(_of_file(name, f"the file says it is {said}", f"{function} is expected"))
    holes: dict[str, list[tuple[PointNm, int]]] = {}
    for name in DRILLS:
        try:
            holes[name] = read_drill(files[name].decode("ascii"))
        except KeyError:
            problems.append(_of_file(name, "the file is absent"))
        except (DrillError, UnicodeDecodeError) as error:
            problems.append(_of_file(name, f"the file cannot be read: {error}"))
    nets: Mapping[tuple[str, str], str] = {}
    try:
        nets = _netlist_pins(netlist)
    except NetlistError as error:
        problems.append(_of_file(NETLIST, f"the file cannot be read: {error}", "build the board again"))
    if problems:
        return tuple(problems)
    plated = dict(holes["drill-plated.drl"])
    return (
        *_nets(layers, plated, nets),
        *_drilled(layers, plated),
        *_masks(layers),
        *_inside(layers),
        *_archives(files),
    )


def _netlist_pins(netlist: bytes) -> dict[tuple[str, str], str]:
    """Net by designator and pin, from the netlist file. Raises NetlistError where it is damaged."""
    try:
        found = _pins_of(sexpdata.loads(netlist.decode(), nil=None, true=None))
    except UnicodeDecodeError as error:
        raise NetlistError(str(error)) from error
    except Exception as error:
        # a damaged file raises whatever its reader stumbles over
        raise NetlistError("it is damaged or breaks off") from error
    if not found:
        raise NetlistError("it holds no nets")
    return found


def _pins_of(sections: list[Any]) -> dict[tuple[str, str], str]:
    found = {}
    for section in sections:
        if not (isinstance(section, list) and section and section[0] == sexpdata.Symbol("nets")):
            continue
        for net in section[1:]:
            name = next(str(item[1]) for item in net[1:] if item[0] == sexpdata.Symbol("name"))
            for node in (item for item in net[1:] if item[0] == sexpdata.Symbol("node")):
                values = {str(item[0]): str(item[1]) for item in node[1:]}
                found[values["ref"], values["pin"]] = name
    return found


def _nets(
    layers: Mapping[str, Layer], plated: Mapping[PointNm, int], nets: Mapping[tuple[str, str], str]
) -> list[Problem]:
    cores: list[object] = []
    radius: list[float] = []
    sides: list[int] = []
    pins: list[int] = []
    what: list[str] = []
    pads: list[PlacedPad] = []
    joints: dict[PointNm, list[int]] = {}
    for name, (side, _) in COPPER.items():
        layer = layers[name]
        for area in layer.areas:
            rings = [np.array(ring, float) for ring in (area.outline, *area.clear)]
            _add(cores, radius, sides, pins, what, shapely.Polygon(rings[0], rings[1:]), 0.0, side, "region")
        for draw in layer.draws:
            line = shapely.LineString(np.array([draw.start, draw.end], float))
            _add(cores, radius, sides, pins, what, line, draw.width_nm / 2, side, "track")
        for flash in layer.flashes:
            x, y = flash.at
            pin = -1
            if "P" in (attributes := dict(flash.attributes)):
                pin = len(pads)
                ref, _, number = attributes["P"].partition(",")
                hole_nm = plated.get(flash.at, 0)
                pads.append(PlacedPad(ref, number, flash.at, flash.width_nm, flash.height_nm, hole_nm, ""))
            joints.setdefault(flash.at, []).append(len(cores))
            if flash.round:
                _add(cores, radius, sides, pins, what, shapely.Point(x, y), flash.width_nm / 2, side, "land", pin)
            else:
                wide, high = flash.width_nm / 2, flash.height_nm / 2
                core = shapely.box(x - wide, y - high, x + wide, y + high)
                _add(cores, radius, sides, pins, what, core, 0.0, side, "land", pin)
    copper = CopperGeometry(
        np.array(cores, object), np.array(radius), np.array(sides, np.int64), np.array(pins, np.int64),
        tuple(what), np.zeros(len(cores), np.int64),
    )  # fmt: skip
    one, two, gap = copper.near(NEAR_NM)
    touching = gap <= TOUCH_NM
    # only a plated hole joins the two sides
    through = [pieces for at, pieces in joints.items() if at in plated and len(pieces) > 1]
    first = [pieces[0] for pieces in through for _ in pieces[1:]]
    later = [piece for pieces in through for piece in pieces[1:]]
    component = components(
        len(cores),
        np.concatenate([one[touching], np.array(first, np.int64)]),
        np.concatenate([two[touching], np.array(later, np.int64)]),
    )
    return compare(copper, tuple(pads), component, nets)


def _add(
    cores: list[object], radius: list[float], sides: list[int], pins: list[int], what: list[str],
    core: object, reach: float, side: int, kind: str, pin: int = -1,
) -> None:  # fmt: skip
    cores.append(core)
    radius.append(reach)
    sides.append(side)
    pins.append(pin)
    what.append(kind)


def _drilled(layers: Mapping[str, Layer], plated: Mapping[PointNm, int]) -> list[Problem]:
    """Lands on both sides without a plated hole, and plated holes without a land on both sides."""
    at = [{flash.at: flash for flash in layers[name].flashes} for name in COPPER]
    found = [
        fault("P201 hole missing", point, "lands on both sides but no plated hole")
        for point in sorted(at[0].keys() & at[1].keys())
        if point not in plated
    ]
    for point, size in sorted(plated.items()):
        for side, name in zip(at, COPPER, strict=True):
            flash = side.get(point)
            if flash is None or min(flash.width_nm, flash.height_nm) <= size:
                found.append(fault("P202 land missing", point, f"a plated hole without a land in {name}"))
    return found


def _masks(layers: Mapping[str, Layer]) -> list[Problem]:
    """Lands of parts that the mask does not leave bare."""
    found = []
    for side in ("top", "bottom"):
        bare = {flash.at: flash.width_nm for flash in layers[f"mask-{side}.gbr"].flashes}
        found += [
            fault("P203 land under mask", flash.at, f"mask-{side}.gbr does not leave a land bare")
            for flash in layers[f"copper-{side}.gbr"].flashes
            if "P" in dict(flash.attributes) and bare.get(flash.at, 0) < flash.width_nm
        ]
    return found


def _inside(layers: Mapping[str, Layer]) -> list[Problem]:
    """Copper outside the outline."""
    corners = [point for draw in layers["outline.gbr"].draws for point in (draw.start, draw.end)]
    if not corners:
        return [_of_file("outline.gbr", "the board has no outline")]
    wide, high = max(x for x, _ in corners), max(y for _, y in corners)
    left, low = min(x for x, _ in corners), min(y for _, y in corners)
    return [
        fault("P204 outside", flash.at, f"a land in {name} lies outside the outline")
        for name in COPPER
        for flash in layers[name].flashes
        if not (left < flash.at[0] < wide and low < flash.at[1] < high)
    ]


def _archives(files: Mapping[str, bytes]) -> list[Problem]:
    """What in an archive, which is what a board house gets, is not as the file beside it."""
    beside = {name: data for name, data in files.items() if PurePosixPath(name).suffix != ".zip"}
    found = []
    for name in sorted(files.keys() - beside.keys()):
        try:
            with zipfile.ZipFile(io.BytesIO(files[name])) as archive:
                # what has another size is not unpacked: it may be huge
                sizes = {entry.filename: entry.file_size for entry in archive.infolist()}
                alike = {
                    each for each, data in beside.items() if sizes.get(each) == len(data) and archive.read(each) == data
                }
        except (zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError, zlib.error, EOFError) as error:
            found.append(_of_file(name, f"the archive cannot be read: {error}", "build the board again"))
            continue
        others = sorted((sizes.keys() | beside.keys()) - alike)
        found += [
            _of_file(name, f"{each} in the archive is not as beside it", "build the board again") for each in others
        ]
    return found


def _of_file(name: str, found: str, wanted: str = "") -> Problem:
    return Problem("P100 file", "shortfall", Place(file=name), found, wanted)
