"""What a build says when it is done, in lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from boardgen.board.layout import size_in_words
from boardgen.catalogue.to_verify import ToVerify, to_verify
from boardgen.design import Design
from boardgen.documents import attenuation, receive_path
from boardgen.documents.counted import counted
from boardgen.documents.highlights import highlights
from boardgen.documents.response import copper_in_short
from boardgen.documents.text import plain
from boardgen.documents.verdicts import credible, figure, number, rests_in_short
from boardgen.kinds import kind_of
from boardgen.model.problem import Problem, shortfalls
from boardgen.purchasing.bill import Bill
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.receive_path import path_cost
from boardgen.rf.verdict import Verdict, deciding
from boardgen.spec import quantity

CONVERSION: Final = "mode conversion"
MOST_CHECKS: Final = 5
LONGEST_PATH: Final = 66
"""A longer path does not fit beside its heading."""


def _size(design: Design) -> str:
    """Size of the board, where it could be laid out."""
    made = design.layout
    if made is None:
        return "not laid out"
    board = made.board
    return f"{board.width_nm / 1e6:.2f} x {board.height_nm / 1e6:.2f} mm, {board.area_m2 * 1e4:.0f} cm2"


def board_cost(bill: Bill) -> str:
    """What the bare board costs and what makes the price."""
    line = next((line for line in bill.lines if line.part.kind == "bare board"), None)
    if line is None or line.purchase is None:
        return "no price"
    purchase = line.purchase
    number = "one" if purchase.quantity == 1 else f"each of {purchase.quantity:f}"
    why = purchase.offer.source if purchase.offer.by_area else f"size class up to {line.part.value} mm"
    return f"{purchase.unit_price} {bill.currency} for {number}, {purchase.offer.supplier}: {why}"


def first_lines(design: Design, found: Sequence[Problem], folder: str) -> list[tuple[str, str]]:
    """What a builder wants to know first: verdict, what decides it, feeder, size, price, checks, what to open next.

    Ten lines of 80 columns at most. `found` is everything that falls short or should be known, `folder` where the files
    are.
    """
    return [
        ("verdict", verdict_in_words(design, found)),
        *_decided_by(design.prediction),
        ("feeder", feeder_in_short(design)),
        ("size", _size(design)),
        ("price", price(design.bill)),
        ("check first", checks_in_words(first_checks(design))),
        ("open next", _first_file(folder)),
    ]


def verdict_in_words(design: Design, found: Sequence[Problem]) -> str:
    """How many targets are met, and whether anything else falls short."""
    states = [v.state for v in design.prediction.verdicts]
    judged, missed, stated = (
        sum(state in some for state in states)
        for some in (("met", "met as stated", "falls short"), ("falls short",), ("met as stated",))
    )
    if missed:
        said = f"falls short of {missed} of {counted(judged, 'target')}"
    else:
        said = f"meets {'all ' if judged > 1 else ''}{counted(judged, 'target')}" if judged else "no target is judged"
    if stated:
        said += f", {stated} only as stated"
    targets = {f"targets.{v.judged.target}" for v in design.prediction.verdicts}
    # what has no price stands in the line of the price
    others = sum(p.place.key not in targets and p not in design.bill.problems for p in shortfalls(found))
    return f"{said}; {counted(others, 'fault')} besides, see below" if others else said


def _decided_by(prediction: Prediction) -> list[tuple[str, str]]:
    """The target that is nearest to failing, and what it rests on or where it would hold."""
    decides = deciding(prediction.verdicts)
    if decides is None or decides.judged.at_hz is None:
        return []
    judged = decides.judged
    said = f"{judged.target.replace('_', ' ')} {figure(decides)}, wanted {number(judged.wanted, judged.unit)}"
    lines = [("decided by", said)]
    if decides.state == "falls short":
        lines.append(("it holds", _holds(decides)))
    elif decides.rests_on:
        lines.append(("rests on", rests_in_short(prediction, decides)))
    return lines


def _holds(missed: Verdict) -> str:
    """What could be asked for instead of a target that is missed, and where to read on."""
    judged, bound, said = missed.judged, missed.bound, []
    if judged.achieved is not None and bound is not None:
        larger = QUANTITIES[judged.quantity].larger_is_better
        whole = number(bound.lowest if larger else bound.highest, judged.unit)
        said.append(f"at {number(judged.achieved, judged.unit)}, safely at {whole}")
    if judged.holds_to_hz is not None:
        said.append(f"as asked to {quantity.format(judged.holds_to_hz, 'Hz', 3)}")
    return f'{", ".join(said)}; see "to know"'


def feeder_in_short(design: Design) -> str:
    """The way to the receiver in a sentence, with what would lessen its cost."""
    cost = path_cost(design.spec, design.prediction.path)
    return receive_path.in_short(cost, receive_path.price_of(design))


def _first_file(folder: str) -> str:
    path = f"{folder}/book.html"
    return path if len(path) <= LONGEST_PATH else "book.html, in the folder that the last line names"


def price(bill: Bill) -> str:
    """What the goods of the order come to, or how much of it is priced; freight and tax are an order's."""
    priced = len(bill.lines) - len(bill.unpriced)
    boards = "one board" if bill.boards == 1 else f"{bill.boards} boards ({bill.total_per_board} each)"
    invented = ", at invented prices" if any(line.invented for line in bill.lines) else ""
    total = f"{bill.order_total} {bill.currency}"
    if not bill.unpriced:
        return f"{total} of goods for {boards}{invented}"
    if not priced:
        return f"none of {len(bill.lines)} lines has a price: give a price file with --prices"
    return f"{priced} of {len(bill.lines)} lines priced: {total} so far, {len(bill.unpriced)} without a price"


def first_checks(design: Design) -> list[ToVerify]:
    """The worst to verify before ordering, one a kind of part, at most five: pin maps, what must fit, then the rest."""
    ruinous = [check for check in to_verify(design.parts, design.catalogue) if check.ruins_the_board]
    ruinous.sort(key=lambda c: (c.about != "pin map", not kind_of(c.part).ruined_by, c.about != "footprint"))
    return list({check.part.kind: check for check in reversed(ruinous)}.values())[::-1][:MOST_CHECKS]


def checks_in_words(checks: Sequence[ToVerify]) -> str:
    """What to check of which parts, those with the same to be checked together."""
    if not checks:
        return "nothing"
    kinds: dict[str, list[str]] = {}
    for check in checks:
        kinds.setdefault(check.matter, []).append(f"the {check.part.kind}")
    said = ", ".join(f"{matter} of {' and '.join(found)}" for matter, found in kinds.items())
    return f"{said}: bill.xlsx, sheet Assumptions"


def lines(design: Design) -> list[tuple[str, str]]:
    """Heading and text of each line of what else is told."""
    bill, netlist = design.bill, design.netlist
    antennas = counted(sum(s.fitted for s in design.request.antennas), "antenna")
    checks = to_verify(design.parts, design.catalogue)
    ruinous = sum(check.ruins_the_board for check in checks)
    board = f"{antennas} to one output, {sum(c.fitted for c in netlist.components)} parts, {len(netlist.nets)} nets"
    made = design.layout
    return [
        ("board", board),
        *([("set by", size_in_words(made.board)), ("bare board", board_cost(bill))] if made else []),
        *((heading, plain(words)) for heading, words in highlights(design)),
        *[("feeder", "; ".join(said)) for said in [_path(design)] if said],
        *[("attenuator", said) for said in [attenuation.in_short(design.prediction)] if said],
        ("copper", copper_in_short(design.prediction)),
        *_conversion(design.prediction),
        (
            "verify",
            f"{len(checks)} things before you order, {ruinous} of which can ruin the board: "
            "sheet Assumptions of bill.xlsx",
        ),
    ]


def _path(design: Design) -> tuple[str, ...]:
    return receive_path.sentences(design.prediction, receive_path.price_of(design))


def _conversion(prediction: Prediction) -> list[tuple[str, str]]:
    """Mode conversion, which no target judges."""
    found = prediction.worst_in_band(CONVERSION)
    if found is None:
        return []
    value, at_hz = found
    return [("conversion", f"{credible(CONVERSION, value, 'dB')} at worst, at {quantity.format(at_hz, 'Hz', 4)}")]
