"""One board as a script has it: read, worked out, looked at, and written into a folder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from boardgen.design import Design, make_design
from boardgen.documents.build_files import build_files
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.board import NO_OVERRIDES, BoardInputs, Sources, read_board
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import FootprintName
from boardgen.model.problem import Problem
from boardgen.public.drawing import Drawing, Page
from boardgen.public.folder import folder_of
from boardgen.public.response import Response, response_of
from boardgen.public.writing import write_board
from boardgen.spec.keys import Spec
from boardgen.spec.load import load

if TYPE_CHECKING:
    import pandas


class DesignedBoard:
    """A board that is worked out. `design_board` makes one; nothing of it changes afterwards."""

    def __init__(self, inputs: BoardInputs, design: Design, footprint_names: Mapping[str, FootprintName]) -> None:
        """What was read, what was made of it, and the user's own footprint names."""
        self._inputs, self._design, self._footprint_names = inputs, design, footprint_names

    def __repr__(self) -> str:
        spec, board = self.specification, self.board
        antennas = sum(antenna.fitted for antenna in spec.antenna)
        size = f"{board.width_nm / 1e6:.1f} x {board.height_nm / 1e6:.1f} mm" if board else "not laid out"
        return f"<DesignedBoard {spec.title}, revision {spec.revision}: {antennas} antennas, {size}>"

    @property
    def specification(self) -> Spec:
        """What was asked for: numbers in SI units, keys as in the file."""
        return self._design.spec

    @property
    def values(self) -> pandas.DataFrame:
        """Every sized value with what it needed, its margin, and why; SI units."""
        # a quarter of a second to load, and only those who ask for a table wait for it
        from boardgen.public.tables import values_table

        return values_table(self._design.choices)

    @property
    def netlist(self) -> Netlist:
        """The circuit: components, nets, contacts and ports."""
        return self._design.netlist

    @property
    def board(self) -> Board | None:
        """The layout in nanometres; None where none was asked for or none is possible, which `problems` then tell."""
        return self._design.layout.board if self._design.layout else None

    @cached_property
    def response(self) -> Response:
        """What is predicted, with the laid-out copper where the board is laid out and an assumed one where not."""
        return response_of(self._design.prediction)

    @property
    def bill(self) -> pandas.DataFrame:
        """What to order, line by line, and what it costs."""
        from boardgen.public.tables import bill_table

        return bill_table(self._design.bill)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What falls short (severity "error" or "shortfall") or is to be known ("warning" or "note")."""
        return (*self._design.problems, *self._inputs.price_problems)

    @property
    def drawings(self) -> dict[str, Drawing]:
        """Schematic, board, response, labels and drill template by their names, such as "board-top"."""
        made = {Path(name): data for name, data in self._files.items() if name.endswith(".svg")}
        return {path.stem: Drawing(path.stem, data.decode()) for path, data in made.items()}

    @property
    def book(self) -> Page:
        """The build book."""
        return Page("book", self._files["book.html"].decode())

    @property
    def appendix(self) -> Page:
        """What the build book leaves out: faults, the bill, reasons, response, schematic."""
        return Page("appendix", self._files["appendix.html"].decode())

    @cached_property
    def _files(self) -> dict[str, bytes]:
        return build_files(self._design, self._footprint_names, self._inputs.date_text)

    def write(self, folder: str | Path = "output", *, pdf: bool = False, dxf: bool = False) -> Path:
        """Writes everything that `boardgen build` writes.

        Parameters
        ----------
        folder : where the board's own folder is made, named by its title.
        pdf, dxf : write papers as PDF and the drill template as DXF too; each needs an extra of the package.

        Returns
        -------
        The board's folder. One that an earlier build wrote is replaced whole.

        Raises
        ------
        InputError : where the folder holds somebody's work or cannot be written, or the extra is missing.

        """
        target = folder_of(Path(folder), self.specification.title)
        check_folder(target)
        return write_board(target, self._design, self._inputs, self._footprint_names, pdf=pdf, dxf=dxf).folder


def load_specification(path: str | Path, overrides: Mapping[str, str] = NO_OVERRIDES) -> Spec:
    """The specification in a TOML file.

    Parameters
    ----------
    path : the file.
    overrides : keys by their dotted names, such as {"band.lowest": "472 kHz"}; they win over the file.

    Raises
    ------
    InputError : with every fault of the file at once, each with its line and key.

    """
    return load(Path(path), overrides)


def design_board(
    specification: str | Path,
    *,
    overrides: Mapping[str, str] = NO_OVERRIDES,
    parts: str | Path | None = None,
    prices: str | Path | Sequence[str | Path] = (),
    on: date | None = None,
    layout: bool = True,
) -> DesignedBoard:
    """The board of a specification, as `boardgen build` makes it.

    Parameters
    ----------
    specification : path of a TOML file.
    overrides : keys by their dotted names, such as {"band.lowest": "472 kHz"}; they win over the file.
    parts : a folder of your own parts; they add to those of the program and override them.
    prices : price files or folders of them; without any the prices are invented ones, for demonstration.
    on : the day for which prices are judged and which is written into the files.
    layout : lay the board out. Without it the choices are the same, but size and copper are assumed.

    Raises
    ------
    InputError : with every fault of the first input that fails.

    """
    inputs = read_board(Path(specification), sources_of(overrides, parts, prices, on))
    design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=layout)
    return DesignedBoard(inputs, design, read_footprint_names(Path(parts) if parts else None))


def sources_of(
    overrides: Mapping[str, str],
    parts: str | Path | None,
    prices: str | Path | Sequence[str | Path],
    on: date | None,
) -> Sources:
    """Paths as they are, or as text; one price file may stand alone."""
    files = (prices,) if isinstance(prices, str | Path) else prices
    return Sources(
        overrides=overrides, parts=Path(parts) if parts else None, prices=tuple(Path(file) for file in files), on=on
    )
