"""Run by the Python of the board editor: loads a board, checks it, and prints what it found as JSON.

Arguments: the board, the library of its footprints, a folder to write into.
"""

import json
import re
import sys
from pathlib import Path

import pcbnew


def violations(board: "pcbnew.BOARD", report: Path) -> list[str]:
    pcbnew.WriteDRCReport(board, str(report), pcbnew.EDA_UNITS_MILLIMETRES, True)
    return re.findall(r"^\[(\w+)\]", report.read_text(encoding="utf-8"), re.MULTILINE)


def plot(board: "pcbnew.BOARD", folder: Path) -> None:
    control = pcbnew.PLOT_CONTROLLER(board)
    options = control.GetPlotOptions()
    options.SetOutputDirectory(str(folder))
    options.SetUseAuxOrigin(True)
    for name, layer in (("top", pcbnew.F_Cu), ("bottom", pcbnew.B_Cu)):
        control.SetLayer(layer)
        control.OpenPlotfile(name, pcbnew.PLOT_FORMAT_GERBER, name)
        control.PlotLayer()
    control.ClosePlot()


def main(path: str, library: str, into: str) -> None:
    folder = Path(into)
    board = pcbnew.LoadBoard(path)
    board.BuildConnectivity()
    found = {
        "pads": [[pad.GetParent().GetReference(), pad.GetNumber(), pad.GetNetname()] for pad in board.GetPads()],
        "values": {each.GetReference(): each.GetValue() for each in board.GetFootprints()},
        "tracks": sum(type(each).__name__ == "PCB_TRACK" for each in board.GetTracks()),
        "vias": sum(type(each).__name__ == "PCB_VIA" for each in board.GetTracks()),
        "areas": sum(not zone.GetIsRuleArea() for zone in board.Zones()),
        "keep-outs": sum(zone.GetIsRuleArea() for zone in board.Zones()),
        "unconnected": board.GetConnectivity().GetUnconnectedCount(),
        "violations": violations(board, folder / "first.txt"),
        "classes": {str(name): each.GetClearance() for name, each in board.GetAllNetClasses().items()},
        "library": {
            file.stem: [
                [pad.GetNumber(), pad.GetPosition().x, pad.GetPosition().y, pad.GetDrillSize().x]
                for pad in pcbnew.FootprintLoad(library, file.stem).Pads()
            ]
            for file in sorted(Path(library).iterdir())
        },
    }
    plot(board, folder)
    pcbnew.ZONE_FILLER(board).Fill(board.Zones())
    board.BuildConnectivity()
    found["refilled unconnected"] = board.GetConnectivity().GetUnconnectedCount()
    found["refilled violations"] = violations(board, folder / "second.txt")
    moved = next(each for each in board.GetFootprints() if each.GetReference() == "K1")
    moved.Move(pcbnew.wxPointMM(1, 0))
    board.BuildConnectivity()
    found["moved violations"] = len(violations(board, folder / "third.txt"))
    (folder / "found.json").write_text(json.dumps(found), encoding="utf-8")


main(*sys.argv[1:])
