"""Writes the list for the bare-board electrical test, in micrometres.

Source: IPC-D-356A, Bare Substrate Electrical Test Data Format (1998): records of parameters (P), through holes (317),
surface pads (327), unplated holes (367) and the outline (389). Columns recalled.
"""

from __future__ import annotations

from boardgen.model.copper import Board

LONGEST_NAME = 14
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
    return f"{min(round(size_nm / 1000), 9999):04d}"


def _place(x_nm: int, y_nm: int) -> str:
    return f"X{round(x_nm / 1000):+07d}Y{round(y_nm / 1000):+07d}"
