"""What stands under which heading of the form, for a specification and for a plan."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.spec.faults import Shape, spec_shape
from boardgen.spec.keys import MOST_ANTENNAS, MOST_IN_HAND, MOST_TRANSMITTERS


class Part(Struct, frozen=True):
    """A heading with its tables. Of a list, there are at `least` and at `most` so many; `one` names what is added."""

    title: str
    tables: tuple[str, ...]
    open: bool = False
    least: int = 1
    most: int = 1
    one: str = ""


class Layout(Struct, frozen=True):
    """What a kind of file may hold, and where the form shows it."""

    shape: Shape
    parts: tuple[Part, ...]
    untitled: str


SPEC = Layout(
    spec_shape(),
    (
        Part("Name", ("",)),
        Part("Band", ("band",), open=True),
        Part("Antennas", ("antenna",), open=True, most=MOST_ANTENNAS, one="an antenna"),
        Part("Output", ("output",)),
        Part("Control cable and supply", ("control",), open=True),
        Part("Targets", ("targets",)),
        Part("Protection", ("protection",)),
        Part("Switching", ("switching", "prefer")),
        Part("Parts you choose", ("parts",)),
        Part("Parts in hand", ("in_hand",), least=0, most=MOST_IN_HAND, one="a part in hand"),
        Part("Main coax and noise", ("feeder", "amplifier")),
        Part("Strong transmitters", ("transmitter",), least=0, most=MOST_TRANSMITTERS, one="a transmitter"),
        Part("Own measurements", ("measured", "measured.relay", "measured.transformer")),
        Part("Order", ("order", "order.spares_of")),
        Part("Box, house and documents", ("box", "house", "documents")),
    ),
    "switch board",
)


def layout_of(data: Mapping[str, object]) -> Layout:
    """That of a plan, which has a list of boxes, or of a specification, which has one at most."""
    return _plan() if isinstance(data.get("box"), list) else SPEC


def _plan() -> Layout:
    # a board is shown without what only stations need
    from boardgen.station.keys import MOST_BOXES, MOST_OUTPUTS
    from boardgen.station.load import SHAPE

    return Layout(
        SHAPE,
        (
            Part("Name", ("",)),
            Part("Boxes", ("box", "box.feeder", "box.control"), open=True, most=MOST_BOXES, one="a box"),
            Part("Directions", ("direction",), open=True, most=MOST_OUTPUTS, one="a direction"),
            Part("Remotes", ("remote",), least=0, most=MOST_OUTPUTS, one="a remote"),
            Part("Source of the lines", ("source",)),
            Part("Receiver", ("receiver",)),
        ),
        "station",
    )
