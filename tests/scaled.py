"""A plugin of pytest that makes what one function of boardgen gives larger or smaller; `mutation.py` uses it.

The environment variable SCALE holds module, function and factor, such as "boardgen.handbook.wire skin_depth_m 1.2".
"""

from __future__ import annotations

import functools
import importlib
import os
from typing import Any

from msgspec.structs import replace

from boardgen.handbook.round_wires import Inductance
from boardgen.handbook.two_hole_winding import Leakage, Range
from boardgen.rf_network.element import Parameter

MODULE, FUNCTION, FACTOR = os.environ["SCALE"].split()


def scaled(result: Any, factor: float) -> Any:
    """The same figure or range, so many times as large."""
    match result:
        case Leakage():
            return result._replace(henry=scaled(result.henry, factor))
        case Inductance():
            return result._replace(h_per_m=factor * result.h_per_m)
        case Range():
            return Range(*(factor * figure for figure in result))
        case Parameter():
            return replace(result, value=factor * result.value)
        case list() | tuple():
            return [factor * figure for figure in result]
        case _:
            return factor * result


def plant() -> None:
    """Puts the scaled function in the place of the one that whoever imports it later gets."""
    module = importlib.import_module(MODULE)
    whole = getattr(module, FUNCTION)

    @functools.wraps(whole)
    def planted(*given: Any, **named: Any) -> Any:
        return scaled(whole(*given, **named), float(FACTOR))

    setattr(module, FUNCTION, planted)


plant()
