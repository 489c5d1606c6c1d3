"""boardgen: relay switch boards for low-band receive antennas, from one small specification.

The names below are for scripts and notebooks; `docs/python.md` shows them at work. Each is loaded when it is first
asked for, so that the command line loads only what it needs.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from boardgen.model.problem import InputError, Problem
    from boardgen.public.board import DesignedBoard, design_board, load_specification
    from boardgen.public.choices import weigh_choices
    from boardgen.public.drawing import Drawing
    from boardgen.public.response import Response
    from boardgen.public.station import DesignedStation, design_station
    from boardgen.spec.keys import Spec

__version__ = "0.2.0"
__all__ = [
    "DesignedBoard",
    "DesignedStation",
    "Drawing",
    "InputError",
    "Problem",
    "Response",
    "Spec",
    "design_board",
    "design_station",
    "load_specification",
    "weigh_choices",
]
_HOMES = {
    "DesignedBoard": "public.board",
    "DesignedStation": "public.station",
    "Drawing": "public.drawing",
    "InputError": "model.problem",
    "Problem": "model.problem",
    "Response": "public.response",
    "Spec": "spec.keys",
    "design_board": "public.board",
    "design_station": "public.station",
    "load_specification": "public.board",
    "weigh_choices": "public.choices",
}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        message = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(message)
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
