"""What a build says when it is done, in lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

from boardgen.board.layout import size_in_words
from boardgen.catalogue.to_verify import ToVerify, to_verify
from boardgen.design import Design
from boardgen.documents.counted import counted
from boardgen.documents.highlights import highlights
from boardgen.documents.response import copper_in_short, system_lines
from boardgen.documents.text import plain
from boardgen.documents.verdicts import credible, figure, number, rests_on
from boardgen.kinds import kind_of
from boardgen.model.problem import Problem, shortfalls
from boardgen.purchasing.bill import Bill
from boardgen.rf.feeder import feeder_cost, remedy
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.verdict import Verdict, deciding
from boardgen.spec import quantity

CONVERSION: Final = "mode conversion"
MOST_CHECKS: Final = 5


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

    `found` is everything that falls short or should be known, `folder` where the files are.
    """
    checks = [f"{check.part.kind} {check.part.number}: {_check(check)}" for check in first_checks(design)]
    return [
        ("verdict", verdict_in_words(design, found)),
        *_decided_by(design.prediction),
        ("feeder", _feeder(design.prediction)),
        ("size", _size(design)),
        ("price", price(design.bill)),
        ("check first", "; ".join(checks) or "nothing"),
        ("open next", f"{folder}/book.html"),
    ]


def verdict_in_words(design: Design, found: Sequence[Problem]) -> str:
    """How many targets are met, and what else falls short."""
    states = [v.state for v in design.prediction.verdicts]
    judged, missed, stated = (
        sum(state in some for state in states)
        for some in (("met", "met as stated", "falls short"), ("falls short",), ("met as stated",))
    )
    if missed:
        said = [f"falls short of {missed} of {counted(judged, 'target')}"]
    else:
        said = [f"meets {'all ' if judged > 1 else ''}{counted(judged, 'target')}" if judged else "no target is judged"]
    if stated:
        said.append(f"{stated} only as stated, not over the whole bound")
    targets = {f"targets.{v.judged.target}" for v in design.prediction.verdicts}
    others = Counter(p.id for p in shortfalls(found) if p.place.key not in targets)
    if others:
        said.append(
            f"falls short besides: {', '.join(f'{name} ({n})' if n > 1 else name for name, n in others.items())}"
        )
    return "; ".join(said)


def _decided_by(prediction: Prediction) -> list[tuple[str, str]]:
    """The target that is nearest to failing."""
    decides = deciding(prediction.verdicts)
    if decides is None or decides.judged.at_hz is None:
        return []
    judged = decides.judged
    name, at = judged.target.replace("_", " "), quantity.format(decides.judged.at_hz, "Hz", 4)
    said = f"{name}: {figure(decides)} at {at}, wanted {number(judged.wanted, judged.unit)}"
    lines = [("decided by", "; ".join(filter(None, (said, rests_on(prediction, decides)))))]
    return [*lines, ("it holds", _holds(decides))] if decides.state == "falls short" else lines


def _holds(missed: Verdict) -> str:
    """What could be asked for instead of a target that is missed."""
    judged, bound = missed.judged, missed.bound
    name, said = judged.target.replace("_", " "), []
    if judged.achieved is not None and bound is not None:
        larger = QUANTITIES[judged.quantity].larger_is_better
        whole = number(bound.lowest if larger else bound.highest, judged.unit)
        said.append(f"for {name} of {number(judged.achieved, judged.unit)}, over the whole bound for {whole}")
    if judged.holds_to_hz is not None:
        said.append(f"as asked up to {quantity.format(judged.holds_to_hz, 'Hz', 4)}")
    return "; ".join(said)


def _feeder(prediction: Prediction) -> str:
    """The main coax in a sentence, with what would lessen its cost."""
    cost = feeder_cost(prediction.request.spec, prediction.system)
    if cost is None:
        return "no coax is named: cable and length under [feeder] would tell what it costs"
    said = system_lines(prediction)
    return "; ".join(said[: 1 + bool(remedy(cost))])


def price(bill: Bill) -> str:
    """What the order comes to, or how much of it is priced."""
    priced = len(bill.lines) - len(bill.unpriced)
    boards = "one board" if bill.boards == 1 else f"{bill.boards} boards, {bill.total_per_board} each"
    invented = ", at invented prices" if any(line.invented for line in bill.lines) else ""
    if not bill.unpriced:
        return f"{bill.order_total} {bill.currency} for {boards}, {counted(len(bill.lines), 'line')}{invented}"
    if not priced:
        return f"none of {len(bill.lines)} lines has a price: give a price file with --prices"
    return (
        f"{priced} of {len(bill.lines)} lines priced: {bill.order_total} {bill.currency} so far for {boards}{invented};"
        f" {len(bill.unpriced)} without a price, named in bill.csv"
    )


def first_checks(design: Design) -> list[ToVerify]:
    """The worst to verify before ordering, one a kind of part, at most five: pin maps, what must fit, then the rest."""
    ruinous = [check for check in to_verify(design.parts, design.catalogue) if check.ruins_the_board]
    ruinous.sort(key=lambda c: (c.about != "pin map", not kind_of(c.part).ruins_the_board, c.about != "footprint"))
    return list({check.part.kind: check for check in reversed(ruinous)}.values())[::-1][:MOST_CHECKS]


def _check(check: ToVerify) -> str:
    """What to check of a part in a few words."""
    if check.about == "part":
        return check.sentence.split(":", 1)[0].rstrip(".").split(" before", 1)[0]
    return {"pin map": "pin map by a meter", "footprint": "holes against its drawing"}[check.about]


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
        ("copper", copper_in_short(design.prediction)),
        *_conversion(design.prediction),
        (
            "verify",
            f"{len(checks)} things before you order, {ruinous} of which can ruin the board: "
            "sheet Assumptions of bill.xlsx",
        ),
    ]


def _conversion(prediction: Prediction) -> list[tuple[str, str]]:
    """Mode conversion, which no target judges."""
    found = prediction.worst_in_band(CONVERSION)
    if found is None:
        return []
    value, at_hz = found
    return [("conversion", f"{credible(CONVERSION, value, 'dB')} at worst, at {quantity.format(at_hz, 'Hz', 4)}")]
