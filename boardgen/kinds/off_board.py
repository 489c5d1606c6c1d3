"""What is bought for a board or a station and never stands on a board itself: of these only figures are known."""

from __future__ import annotations

from boardgen.kinds.kind import Kind, KnownFigure, needed

_LARGEST = {"largest x": needed("m"), "largest y": needed("m")}

WINDING_WIRE = Kind(name="winding wire", figures={"diameter": KnownFigure("m"), "insulated diameter": needed("m")})
CABLE = Kind(
    name="cable",
    figures={"diameter": KnownFigure("m"), "outer diameter": KnownFigure("m"), "impedance": KnownFigure("ohm")},
)
CLAMP_ON_CORE = Kind(
    name="clamp-on core",
    figures={"outer diameter": needed("m"), "inner diameter": needed("m"), "height": needed("m")},
)
CABLE_FUSE = Kind(name="cable fuse", figures={"rated current": needed("A"), "rated voltage": KnownFigure("V")})
SWITCH = Kind(
    name="switch", figures={"poles": needed("1"), "positions": needed("1"), "rated current": KnownFigure("A")}
)
ENCLOSURE = Kind(
    name="enclosure",
    figures={"length": KnownFigure("m"), "width": KnownFigure("m"), "height": KnownFigure("m"), **_LARGEST},
    ruined_by="inside size",
)
HARDWARE = Kind(name="hardware", figures={})
BARE_BOARD = Kind(name="bare board", figures=_LARGEST)
BOARD_RATE = Kind(name="board rate", figures={})
