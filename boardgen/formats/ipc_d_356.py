"""Writes and reads the list for the bare-board electrical test, in micrometres.

Source: IPC-D-356A, Bare Substrate Electrical Test Data Format (1998): records of parameters (P), through holes (317),
surface pads (327), unplated holes (367) and the outline (389). Columns recalled.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.copper import Board, PointNm

_POINT = re.compile(
    r"(317|327|367)(.{14}) {3}(.{6})-(.{4})([ M])(?:D(\d{4})([PU])| {6})A(00|01)X([+-]\d{6})Y([+-]\d{6})"
    r"X(\d{4})Y(\d{4})R000 S([0-3])"
)
_EDGE = re.compile(r"389BOARD_EDGE {9}(X\d+Y\d+(?: (?:X\d+)?(?:Y\d+)?)*)")
LONGEST_NAME = 14
MOST_UM = 9999
"""What four digits hold; a longer width is written as this."""
COLUMNS = 80
"""No record is longer; a title or a net's name that would be is cut."""


def bare_board_test(board: Board, program: str, job: str) -> bytes:
    """One record a pad, via and unplated hole, then the outline.

    A net whose name is too long for its field, or has a blank, stands under an alias that a parameter explains.
    `program` is name and version of what writes, `job` the board's title and revision in ASCII.
    """
    nets = sorted({pad.net for pad in board.pads if pad.net} | {via.net for via in board.vias if via.net})
    short = {"": "N/C"}
    lines = [f"C  {program}", _cut(f"P  JOB {job}"), "P  UNITS CUST 1"]
    for number, net in enumerate(nets):
        short[net] = net
        if len(net) > LONGEST_NAME or " " in net:
            short[net] = f"NNAME{number}"
            lines.append(_cut(f"P  {short[net]} {net}"))
    for pad in board.pads:
        code = "317" if pad.hole_nm else "327"
        hole = _hole(pad.hole_nm, "P") if pad.hole_nm else " " * 6
        high = 0 if pad.is_round else pad.height_nm
        side = "A00" if pad.hole_nm else "A01"
        tail = _place(*pad.at) + f"X{_four(pad.width_nm)}Y{_four(high)}R000 S{0 if pad.hole_nm else 2}"
        lines.append(f"{code}{short[pad.net]:<14}   {pad.ref[:6]:<6}-{pad.number[:4]:<4} {hole}{side}{tail}")
    for via in board.vias:
        tail = _place(*via.at) + f"X{_four(via.pad_nm)}Y0000R000 S3"
        lines.append(f"317{short[via.net]:<14}   VIA   -    M{_hole(via.hole_nm, 'P')}A00{tail}")
    for screw in board.mounting_holes:
        tail = _place(*screw.at) + f"X{_four(screw.hole_nm)}Y0000R000 S0"
        lines.append(f"367{'N/C':<14}   {'':<6}-{'':<4} {_hole(screw.hole_nm, 'U')}A00{tail}")
    wide, high = board.width_nm // 1000, board.height_nm // 1000
    lines.append(f"389{'BOARD_EDGE':<14}     X000000Y000000 X{wide:06d} Y{high:06d} X000000 Y000000")
    return "\n".join([*lines, "999", ""]).encode("ascii")


def _cut(record: str) -> str:
    return record if len(record) <= COLUMNS else f"{record[: COLUMNS - 3]}..."


def _hole(size_nm: int, plated: str) -> str:
    return f"D{_four(size_nm)}{plated}"


def _four(size_nm: int) -> str:
    """Four digits of micrometres; more than the field holds is written as its most."""
    return f"{min(round(size_nm / 1000), MOST_UM):04d}"


def _place(x_nm: int, y_nm: int) -> str:
    return f"X{round(x_nm / 1000):+07d}Y{round(y_nm / 1000):+07d}"


class ListedPoint(Struct, frozen=True):
    """A record of a hole or land: its net, designator and pad ("VIA" and "" for a via, both "" for a screw's hole).

    Lengths in micrometres. `high_um` is 0 for a disc, `hole_um` 0 without a hole.
    """

    net: str
    ref: str
    pad: str
    hole_um: int
    plated: bool
    at_um: tuple[int, int]
    wide_um: int
    high_um: int


class ReadTestList(Struct, frozen=True):
    """What a test list says: the job, its points in the order of the file, corners of the outline in micrometres.

    A name that was cut ends with three full stops.
    """

    job: str
    points: tuple[ListedPoint, ...]
    outline_um: tuple[PointNm, ...]


class BareBoardListError(ValueError):
    """The file is not a test list that can be read whole."""


def read_test_list(text: str) -> ReadTestList:
    """What a test list holds. Raises BareBoardListError for every record that lists written here do not have."""
    lines = text.splitlines()
    if not lines or lines[-1] != "999":
        raise BareBoardListError("the file ends before 999")
    job, units, names = "", "", {"N/C": ""}
    points: list[ListedPoint] = []
    corners: list[PointNm] = []
    for line in lines[:-1]:
        if line.startswith("P  "):
            name, _, value = line[3:].partition(" ")
            if name == "JOB":
                job = value
            elif name == "UNITS":
                units = value
            else:
                names[name] = value
        elif found := _POINT.fullmatch(line):
            points.append(_point(found, names))
        elif edge := _EDGE.fullmatch(line):
            x = y = 0
            for across, up in re.findall(r"(?:X(\d+))?(?:Y(\d+))?", edge.group(1)):
                # what is left out stays as it was; the pattern matches nothing between two places as well
                if across or up:
                    x, y = int(across or x), int(up or y)
                    corners.append((x, y))
        elif not line.startswith("C  "):
            msg = f"{line[:20]} is not known here"
            raise BareBoardListError(msg)
    if units != "CUST 1":
        raise BareBoardListError("the file does not count in micrometres")
    return ReadTestList(job, tuple(points), tuple(corners))


def _masked(code: str, *, via: bool) -> str:
    """The sides that the mask covers: none of a land with a hole, the bottom of one without, both of a via."""
    if via:
        return "3"
    return "2" if code == "327" else "0"


def _point(found: re.Match[str], names: Mapping[str, str]) -> ListedPoint:
    code, net, ref, pad, middle, hole, plated, access, x, y, wide, high, mask = found.groups()
    via = ref == "VIA   "
    said = code == "367", code == "327", middle == "M", access, mask
    if said != (plated == "U", hole is None, via, "01" if code == "327" else "00", _masked(code, via=via)):
        msg = f"{found.group()[:40]} contradicts itself"
        raise BareBoardListError(msg)
    name = net.rstrip()
    return ListedPoint(
        names.get(name, name), ref.rstrip(), pad.rstrip(), int(hole or 0), plated == "P", (int(x), int(y)),
        int(wide), int(high),
    )  # fmt: skip
