"""A station as a script has it: its boards, its tables, what was proved, and its folder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from boardgen.documents.station import tables
from boardgen.documents.station.files import station_files
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.board import NO_OVERRIDES
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.inputs.station import StationInputs, read_station
from boardgen.model.part import FootprintName
from boardgen.model.problem import Problem
from boardgen.public.board import DesignedBoard, sources_of
from boardgen.public.drawing import Drawing, Page
from boardgen.public.folder import folder_of
from boardgen.public.writing import write_station
from boardgen.station.keys import Plan
from boardgen.station_design import StationDesign, all_problems, make_station

if TYPE_CHECKING:
    import pandas


class DesignedStation:
    """A station that is worked out and proved. `design_station` makes one; nothing of it changes afterwards."""

    def __init__(
        self, inputs: StationInputs, design: StationDesign, footprint_names: Mapping[str, FootprintName]
    ) -> None:
        """What was read, what was made of it, and the user's own footprint names."""
        self._inputs, self._design, self._footprint_names = inputs, design, footprint_names

    def __repr__(self) -> str:
        plan = self.plan
        return f"<DesignedStation {plan.title}, revision {plan.revision}: boxes {', '.join(self.boxes)}>"

    @property
    def plan(self) -> Plan:
        """What was asked for."""
        return self._design.plan

    @property
    def boxes(self) -> dict[str, DesignedBoard]:
        """The board of each box by the box's name."""
        return {
            name: DesignedBoard(inputs, self._design.boxes[name], self._footprint_names)
            for name, inputs in self._inputs.boxes.items()
        }

    @property
    def selection(self) -> pandas.DataFrame:
        """What is on, live and energised for every direction."""
        return self._table(tables.SELECTION, tables.selection(self._design))

    @property
    def steering(self) -> pandas.DataFrame:
        """Which output works which relay, and through what."""
        return self._table(tables.JOINTS, tables.joints(self._design))

    @property
    def proof(self) -> pandas.DataFrame:
        """The volts of every relay and feed in every state, sound, at both ends of temperature and supply."""
        return self._table(tables.PROOF, tables.proof(self._design))

    @staticmethod
    def _table(headings: Sequence[str], rows: list[list[str]]) -> pandas.DataFrame:
        # a quarter of a second to load, and only those who ask for a table wait for it
        from boardgen.public.tables import text_table

        return text_table(headings, rows)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short or is to be known in the station and in each of its boards."""
        return all_problems(self._inputs, self._design)

    @property
    def drawings(self) -> dict[str, Drawing]:
        """The station's own drawings by their names."""
        own = {name: data for name, data in self._files.items() if name.endswith(".svg") and "/" not in name}
        return {
            name.removesuffix(".svg"): Drawing(name.removesuffix(".svg"), svg.decode()) for name, svg in own.items()
        }

    @property
    def book(self) -> Page:
        """The station's book."""
        return Page("station", self._files["station.html"].decode())

    @cached_property
    def _files(self) -> dict[str, bytes]:
        return station_files(self._design, self._footprint_names, self._inputs.date_text)

    def write(self, folder: str | Path = "output") -> Path:
        """Writes everything that `boardgen station` writes into a folder of `folder` named by the plan's title.

        Returns that folder; raises InputError where it holds somebody's work or cannot be written.
        """
        target = folder_of(Path(folder), self.plan.title)
        check_folder(target)
        return write_station(target, self._design, self._inputs, self._footprint_names).folder


def design_station(
    plan: str | Path,
    *,
    overrides: Mapping[str, str] = NO_OVERRIDES,
    parts: str | Path | None = None,
    prices: str | Path | Sequence[str | Path] = (),
    on: date | None = None,
) -> DesignedStation:
    """The station of a plan, as `boardgen station` makes it; parameters as of `design_board`.

    Raises InputError with every fault of the first input that fails.
    """
    inputs = read_station(Path(plan), sources_of(overrides, parts, prices, on))
    return DesignedStation(inputs, make_station(inputs), read_footprint_names(Path(parts) if parts else None))
