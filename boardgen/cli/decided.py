"""The board of a specification for commands that lay nothing out, with the choices that build makes."""

from __future__ import annotations

from msgspec import Struct

from boardgen.model.choices import Choices
from boardgen.model.problem import Problem
from boardgen.model.progress import Tell, tell_nobody
from boardgen.request import Request
from boardgen.rf.prediction import Prediction
from boardgen.rf.refine import refine


class Decided(Struct, frozen=True):
    """Values, their prediction, and what falls short or is to be known of values and targets."""

    choices: Choices
    prediction: Prediction
    problems: tuple[Problem, ...]


def decided(request: Request, tell: Tell = tell_nobody) -> Decided:
    """The board before layout, or as laid out where its copper may decide. Raises InputError as sizing does."""
    refined = refine(request, tell=tell)
    if not refined.copper_decides:
        return Decided(refined.choices, refined.prediction, refined.problems)
    # the layout and all that goes before it take longer to load than all else here
    from boardgen.design import make_design, within

    design = make_design(request, predicted=True, step=within(tell))
    return Decided(design.choices, design.prediction, design.found.sizing)
