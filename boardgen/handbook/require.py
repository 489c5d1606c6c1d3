"""Refuses arguments that mean nothing to a formula, naming the argument in a plain sentence."""

import math


def finite(**values: float) -> None:
    """Raise ValueError unless every named value is a finite number."""
    for name, value in values.items():
        if not math.isfinite(value):
            message = f"{name} must be a finite number, not {value}"
            raise ValueError(message)


def positive(**values: float) -> None:
    """Raise ValueError unless every named value is finite and above zero."""
    for name, value in values.items():
        if not (math.isfinite(value) and value > 0):
            message = f"{name} must be a finite number above zero, not {value}"
            raise ValueError(message)


def not_negative(**values: float) -> None:
    """Raise ValueError unless every named value is finite and zero or above."""
    for name, value in values.items():
        if not (math.isfinite(value) and value >= 0):
            message = f"{name} must be a finite number, zero or above, not {value}"
            raise ValueError(message)
