"""Writes the list for the bare-board test, IPC-D-356A, micrometres."""

from __future__ import annotations

from boardgen.model.copper import Board

LONGEST_NAME = 14


def bare_board_test(board: Board, program: str) -> bytes:
    """One record a land, via and unplated hole, then the outline."""
    nets = sorted({land.net for land in board.lands if land.net} | {via.net for via in board.vias if via.net})
    short = {"": "N/C"}
    lines = [f"C  {program}", "P  JOB boardgen", "P  UNITS CUST 1"]
    for number, net in enumerate(nets):
        short[net] = net
        if len(net) > LONGEST_NAME or " " in net:
            short[net] = f"NNAME{number}"
            lines.append(f"P  {short[net]:<14}{net}")
    for land in board.lands:
        code = "317" if land.hole_nm else "327"
        hole = _hole(land.hole_nm, "P") if land.hole_nm else " " * 6
        high = 0 if land.is_round else land.height_nm
        side = "A00" if land.hole_nm else "A01"
        tail = _place(*land.at) + f"X{_four(land.width_nm)}Y{_four(high)}R000 S{0 if land.hole_nm else 2}"
        lines.append(f"{code}{short[land.net]:<14}   {land.ref[:6]:<6}-{land.pad[:4]:<4} {hole}{side}{tail}")
    for via in board.vias:
        tail = _place(*via.at) + f"X{_four(via.land_nm)}Y0000R000 S3"
        lines.append(f"317{short[via.net]:<14}   VIA   -    M{_hole(via.hole_nm, 'P')}A00{tail}")
    for opening in board.openings:
        tail = _place(*opening.at) + f"X{_four(opening.hole_nm)}Y0000R000 S0"
        lines.append(f"367{'N/C':<14}   {'':<6}-{'':<4} {_hole(opening.hole_nm, 'U')}A00{tail}")
    wide, high = board.width_nm // 1000, board.height_nm // 1000
    lines.append(f"389BOARD_EDGE       X000000Y000000 X{wide:06d} Y{high:06d} X000000 Y000000")
    return "\n".join([*lines, "999", ""]).encode("ascii")


def _hole(size_nm: int, plated: str) -> str:
    return f"D{_four(size_nm)}{plated}"


def _four(size_nm: int) -> str:
    """Four digits of micrometres; more than the field holds is written as its most."""
    return f"{min(round(size_nm / 1000), 9999):04d}"


def _place(x_nm: int, y_nm: int) -> str:
    return f"X{round(x_nm / 1000):+07d}Y{round(y_nm / 1000):+07d}"
