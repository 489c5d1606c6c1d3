"""Figures as text: a value with its tolerance or range."""

from __future__ import annotations

import functools
import re
from typing import NamedTuple

from boardgen.spec import quantity
from boardgen.spec.quantity import refusal

_NUMBER = r"(\d+(?:\.\d+)?)"
_EVEN = re.compile(rf"(.+?) *(?:\+-|±) *{_NUMBER} *%")
_UNEVEN = re.compile(rf"(.+?) *- *{_NUMBER} */ *\+ *{_NUMBER} *%")


class FigureValue(NamedTuple):
    """The value in SI units with its lowest and highest, where they are known."""

    value: float
    low: float | None = None
    high: float | None = None


@functools.lru_cache(4096)
def read(text: str, unit: str) -> FigureValue:
    """The figure written as "1028 ohm +-10 %", "1 mH -30/+50 %", "2.5..4.5 ohm" or "8.4 V, most 9 V".

    A range stands for its middle. Behind the value may follow ", least ..." and ", most ...", which hold over the
    tolerance. Raises FieldError.
    """
    first, *limits = text.split(", ")
    value, low, high = _value(first, unit)
    for limit in limits:
        word, _, amount = limit.partition(" ")
        if word == "least":
            low = quantity.parse(amount, unit)
        elif word == "most":
            high = quantity.parse(amount, unit)
        else:
            raise refusal(limit, "is not a limit", 'write "least" or "most" and a value')
    if (low is not None and low > value) or (high is not None and high < value):
        raise refusal(text, "has its limits the wrong way round", "write least <= value <= most")
    if unit != "degC" and (value <= 0 or (low is not None and low < 0)):
        raise refusal(text, "is not above zero", "wanted is a figure above zero")
    return FigureValue(value, low, high)


def _value(text: str, unit: str) -> FigureValue:
    if even := _EVEN.fullmatch(text):
        return _with_tolerance(quantity.parse(even[1], unit), float(even[2]), float(even[2]))
    if uneven := _UNEVEN.fullmatch(text):
        return _with_tolerance(quantity.parse(uneven[1], unit), float(uneven[2]), float(uneven[3]))
    if ".." in text:
        low, high = quantity.parse_range(text, unit)
        return FigureValue((low + high) / 2, low, high)
    return FigureValue(quantity.parse(text, unit))


def _with_tolerance(value: float, below_percent: float, above_percent: float) -> FigureValue:
    return FigureValue(value, value * (1 - below_percent / 100), value * (1 + above_percent / 100))
