"""What limits a target, and what would meet it, in sentences with numbers."""

from __future__ import annotations

from math import inf

from boardgen.model.netlist import Netlist
from boardgen.rf.judge import Judged
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf.sensitivity import STEP, Influence, Limit, Remedy
from boardgen.rf_network.element import COPPER
from boardgen.spec import quantity


def falls_short(limit: Limit, netlist: Netlist) -> str:
    """One paragraph: what is reached where, up to where the target holds, which part limits it, what would do."""
    judged = limit.judged
    state = f'with "{judged.selected}" {judged.way}, at "{judged.port}"'
    text = f"{reached(judged)}, {state}; {wanted(judged)}"
    if judged.holds_to_hz is not None:
        text += f". It holds up to {quantity.format(judged.holds_to_hz, 'Hz', 3)}"
    else:
        text += ". It holds nowhere in the band"
    if limit.influences:
        text += f". What limits it most is {limiting(limit, netlist)}"
    for remedy in limit.remedies[:2]:
        text += f". It would hold with {change(remedy)}"
    return text


def limiting(limit: Limit, netlist: Netlist) -> str:
    """The part that limits a figure most, and what a tenth more of its figure does."""
    first, judged = limit.influences[0], limit.judged
    better = (first.change > 0) == QUANTITIES[judged.quantity].larger_is_better
    who = "the copper (" if first.ref == COPPER else f"{first.ref} ({netlist.component[first.ref].part.number}, "
    return (
        f"the {first.name} of {who}{_value(first)}): {100 * STEP:.0f} % more makes it "
        f"{'better' if better else 'worse'} by {quantity.format(abs(first.change), judged.unit, 2)}"
    )


def reached(judged: Judged) -> str:
    """The figure and where it is met."""
    if judged.achieved is None or judged.at_hz is None:
        return f"{judged.quantity} is not judged"
    at, most = quantity.format(judged.at_hz, "Hz", 4), CREDIBLE_DB.get(judged.quantity, inf)
    better = "better than " if judged.achieved > most else ""
    return f"{judged.quantity} is {better}{quantity.format(min(judged.achieved, most), judged.unit, 3)} at {at}"


def wanted(judged: Judged) -> str:
    """The target."""
    bound = "at most" if judged.quantity == "insertion loss" else "at least"
    upto = f" up to {quantity.format(judged.to_hz, 'Hz')}" if judged.to_hz else ""
    return f"wanted is {bound} {quantity.format(judged.wanted, judged.unit)}{upto}"


def change(remedy: Remedy) -> str:
    """The values of one kind times a factor."""
    refs = ", ".join(remedy.refs[:4]) + (" and so on" if len(remedy.refs) > 4 else "")
    return f"{remedy.factor:.2f} times the {remedy.name} of {refs}"


def _value(influence: Influence) -> str:
    return quantity.format(influence.value, influence.unit, 3) if influence.unit != "1" else f"{influence.value:.3g}"
