"""Strips that differ in nothing but the names of their nets and parts: what is worked out for one holds for all."""

from __future__ import annotations

from collections import Counter

from boardgen.board.strip_cells import CellJob, Context, cell_jobs, cells, line_order
from boardgen.board.strips import StripPlan
from boardgen.model.cell import Cell
from boardgen.model.netlist import Component


def distinct(context: Context, strips: list[StripPlan]) -> list[StripPlan]:
    """The first strip of each form."""
    return [strips[number] for number in dict.fromkeys(first for first, _ in _firsts(context, strips))]


def strip_jobs(context: Context, strips: list[StripPlan]) -> list[list[CellJob]]:
    """The jobs of each strip, worked out for the first of each form: the others have the same with their own names."""
    jobs: list[list[CellJob]] = []
    for strip, (first, nets) in zip(strips, _firsts(context, strips), strict=True):
        jobs.append(
            cell_jobs(context, strip)
            if first == len(jobs)
            else [
                CellJob(one.job, {token: nets.get(net, net) for token, net in one.names.items()}, _parts(cell))
                for one, cell in zip(jobs[first], cells(context, strip), strict=True)
            ]
        )
    return jobs


def _parts(cell: Cell) -> tuple[Component, ...]:
    return tuple([seat.component for seat in cell.parts])


def _firsts(context: Context, strips: list[StripPlan]) -> list[tuple[int, dict[str, str]]]:
    """For each strip the number of the first one of its form, and by the name of a net there what it is called here."""
    nets = [sorted(_nets(context, strip)) for strip in strips]
    count = Counter(net for each in nets for net in each)
    found: dict[object, int] = {}
    firsts = []
    for number, (strip, names) in enumerate(zip(strips, nets, strict=True)):
        first = found.setdefault(_form(context, strip, names, count), number)
        firsts.append((first, dict(zip(nets[first], names, strict=True))))
    return firsts


def _nets(context: Context, strip: StripPlan) -> set[str]:
    every = (*strip.upper, *strip.lower)
    names = {net for cell in every for seat in cell.parts for net in context.pads[seat.component.ref] if net}
    return names.union(context.rails, strip.pairs, *(cell.inward or () for cell in every))


def _form(context: Context, strip: StripPlan, names: list[str], count: Counter[str]) -> object:
    """What two strips have in common whose cells are the same jobs.

    A net of one strip alone counts by its kind and by its rank, since lines are put in order by name; any other net is
    itself.
    """
    tokens: dict[str | None, object] = {None: None}
    for rank, net in enumerate(names):
        common = count[net] > 1 or net in context.rails or net in ("0V", "earth")
        tokens[net] = rank, net if common else (context.kinds[net], *line_order(net, context)[:-1])

    def of_cell(cell: Cell) -> object:
        parts = tuple(
            (part.component.part.footprint, part.rotations, tuple(tokens[n] for n in context.pads[part.component.ref]))
            for part in cell.parts
        )
        return cell.stage, cell.crossed, tuple(tokens[net] for net in cell.inward or ()), parts

    pairs = [tuple(tokens[net] for net in pair or ()) for pair in (strip.onward, strip.resting)]
    return strip.is_output, len(strip.upper), *pairs, *(of_cell(cell) for cell in (*strip.upper, *strip.lower))
