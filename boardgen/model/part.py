"""A part that can be bought, and the pattern of holes it stands in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal, get_args

from msgspec import Struct, field

from boardgen.model.figure import Figure, Standing

Supply = Literal["made", "unconfirmed", "ended"]
SUPPLIES: Final[tuple[Supply, ...]] = get_args(Supply)
"""Whether a part can be had: it is made, nobody has confirmed that or its order number, or it is made no more."""
_NOBODY = ("", "any", "none")
"""What stands for the maker of a part that anybody makes."""


class Part(Struct, frozen=True):
    """One orderable thing.

    `figures` are by name, such as "coil resistance"; `attributes` are facts in words, such as material or dielectric.
    `pins` maps a role, such as "pole A common", to a pad number of the footprint; a role whose pad is not known is
    absent. `verify` are sentences for the list of what to check before ordering. `unit` is "piece", "m" or "dm2".
    `cost_class` tells what it costs beside others of its kind, each class some half more than the one before; 0 is not
    told.
    """

    key: str
    kind: str
    maker: str
    number: str
    description: str
    value: str
    standing: Standing
    source: str
    figures: Mapping[str, Figure] = field(default_factory=dict)
    pins: Mapping[str, str] = field(default_factory=dict)
    attributes: Mapping[str, str] = field(default_factory=dict)
    footprint: str = ""
    unit: str = "piece"
    verify: tuple[str, ...] = ()
    supply: Supply = "made"
    cost_class: int = 0

    @property
    def name(self) -> str:
        """What it is called in a sentence: maker and number; of a part that anybody makes only the number, or else
        what it is.
        """
        maker = "" if self.maker in _NOBODY else self.maker
        return " ".join(word for word in (maker, self.number) if word) or self.description or self.key

    def figure(self, name: str) -> Figure | None:
        """The figure of that name, or None where the maker's figure is not known."""
        return self.figures.get(name)

    def __hash__(self) -> int:
        return hash(self.key)


class FootprintName(Struct, frozen=True):
    """A footprint of a user's own library in the place of ours.

    `pads` has its numbers by ours where they differ. Its origin lies at `x_nm`, `y_nm` of ours, and it is turned
    anticlockwise by so many `quarters`. `hole_nm` is its narrowest hole, None where that is not told.
    """

    name: str
    pads: Mapping[str, str] = field(default_factory=dict)
    x_nm: int = 0
    y_nm: int = 0
    quarters: int = 0
    hole_nm: int | None = None


class Pad(Struct, frozen=True):
    """A pad seen from the component side, in nanometres from the footprint's origin.

    `hole_nm` is the finished hole, None where the lead is not known, 0 for a surface pad.
    """

    number: str
    x_nm: int
    y_nm: int
    hole_nm: int | None
    width_nm: int
    height_nm: int


class Footprint(Struct, frozen=True):
    """Pads and body of a part, seen from the component side.

    `drawn_from` is the side the maker's drawing shows; the data here are already turned to the component side.
    Body sizes in nanometres, None where not known. `gap` says what is missing, and is empty when complete.
    `upright` is the pattern of the same part standing on end, "" where it does not. An `own_pattern` was drawn for a
    board and not by a maker: there is no drawing to hold it against.
    """

    key: str
    description: str
    pads: tuple[Pad, ...]
    body_x_nm: int | None
    body_y_nm: int | None
    body_height_nm: int | None
    body_centre_x_nm: int
    body_centre_y_nm: int
    drawn_from: str
    standing: Standing
    source: str
    gap: str = ""
    upright: str = ""
    own_pattern: bool = False

    def __hash__(self) -> int:
        return hash(self.key)
