"""What the book is written from."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.diagnosis import kinds_of_strip
from boardgen.commissioning.strip_readings import StripReadings
from boardgen.design import Design
from boardgen.documents.identity import named
from boardgen.documents.page.spelling import Spelling
from boardgen.documents.text import Value
from boardgen.model.copper import Board
from boardgen.model.netlist import Component
from boardgen.spec.strip import Strip
from boardgen.station.conductors import Conductor

STANDINGS: Mapping[str, str] = {
    "read": "from a sheet",
    "measured": "measured",
    "computed": "computed",
    "recalled": "recalled",
    "assumed": "assumed",
}
"""How the book calls the standing of a figure."""


class StationSide(Struct, frozen=True):
    """What a station decides for a board in it: what its cable carries and the order of colours.

    Without conductors the board has no cable of the station's: it stands beside the source.
    """

    conductors: tuple[Conductor, ...]
    colours: str


class Source(Struct, frozen=True, dict=True):
    """The design, how the reader wants it set, and the drawings that the build has made already, by file name.

    `station` says what a station has decided for the board; None for one on its own.
    """

    design: Design
    say: Spelling
    drawings: Mapping[str, str]
    date: str
    station: StationSide | None = None

    @cached_property
    def bench(self) -> Bench:
        """The board as a meter meets it."""
        return Bench(self.design.request, self.design.choices, self.design.netlist)

    @cached_property
    def tests(self) -> tuple[tuple[StripReadings, tuple[Strip, ...]], ...]:
        """What is read of each kind of antenna, on the first of the kind, and all of it."""
        return tuple((StripReadings(self.bench, strips[0]), strips) for strips in kinds_of_strip(self.bench))

    @cached_property
    def antennas(self) -> tuple[Strip, ...]:
        """The antennas that are fitted, in the order of their ports."""
        return tuple(s for s in self.design.request.antennas if s.fitted)

    @cached_property
    def selectable(self) -> tuple[Strip, ...]:
        """Those with a relay: all but a port that is through at rest."""
        return tuple(s for s in self.antennas if not s.rest)

    @cached_property
    def ports(self) -> Mapping[str, str]:
        """Designator of each port by its strip."""
        return {port.strip: port.ref for port in self.design.netlist.ports}

    def board_size(self, board: Board) -> Value:
        """Width and height of the board, as its reader wants them."""
        return Value(named("board", "size"), self.say.size((board.width_nm / 1e6, board.height_nm / 1e6)))

    def parts(self, *kinds: str) -> tuple[Component, ...]:
        """The fitted parts of these kinds."""
        return tuple(c for c in self.design.netlist.of_kind(*kinds) if c.fitted)


def listed(refs: tuple[str, ...] | list[str]) -> str:
    """Designators in one line, runs of three and more as first to last: "R1 to R4, R9"."""
    runs: list[list[str]] = []
    for ref in refs:
        letters, number = _split(ref)
        if runs:
            last_letters, last_number = _split(runs[-1][-1])
            if letters == last_letters and number == last_number + 1:
                runs[-1].append(ref)
                continue
        runs.append([ref])
    texts = []
    for run in runs:
        texts += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else run
    return ", ".join(texts)


def _split(ref: str) -> tuple[str, int]:
    letters = ref.rstrip("0123456789")
    return letters, int(ref[len(letters) :] or 0)
