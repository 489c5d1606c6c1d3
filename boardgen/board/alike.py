"""Strips that differ in nothing but the names of their nets and parts: what is worked out for one holds for all."""

from __future__ import annotations

from collections import Counter

from boardgen.board.jobs import Context, line_order
from boardgen.board.strips import StripPlan
from boardgen.model.cell import Cell


def distinct(context: Context, strips: list[StripPlan]) -> list[StripPlan]:
    """The first strip of each form."""
    nets = [_nets(context, strip) for strip in strips]
    count = Counter(net for each in nets for net in each)
    found: dict[object, StripPlan] = {}
    for strip, names in zip(strips, nets, strict=True):
        found.setdefault(_form(context, strip, names, count), strip)
    return list(found.values())


def _nets(context: Context, strip: StripPlan) -> set[str]:
    cells = (*strip.upper, *strip.lower)
    names = {net for cell in cells for seat in cell.seats for net in context.pads[seat.component.ref] if net}
    return names.union(context.rails, *(cell.inward or () for cell in cells))


def _form(context: Context, strip: StripPlan, names: set[str], count: Counter[str]) -> object:
    """What two strips have in common whose cells are the same jobs.

    A net of one strip alone counts by its kind and by its rank, since lines are put in order by name; any other net is
    itself.
    """
    tokens: dict[str | None, object] = {None: None}
    for rank, net in enumerate(sorted(names)):
        common = count[net] > 1 or net in context.rails or net in ("0V", "earth")
        tokens[net] = rank, net if common else (context.kinds[net], *line_order(net, context.kinds)[:-1])

    def of_cell(cell: Cell) -> object:
        seats = tuple(
            (seat.component.part.footprint, seat.turns, tuple(tokens[net] for net in context.pads[seat.component.ref]))
            for seat in cell.seats
        )
        return cell.stage, cell.crossed, tuple(tokens[net] for net in cell.inward or ()), seats

    return strip.is_output, len(strip.upper), tuple(of_cell(cell) for cell in (*strip.upper, *strip.lower))
