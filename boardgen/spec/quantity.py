"""Quantities as text: "1.8 MHz" to 1.8e6 and back. The one place where numbers become text.

What could be meant in two ways is refused with the reason, never guessed. Scaling is decimal, so that "4.7 nF" is the
very float 4.7e-9.
"""

from __future__ import annotations

import math
import re
from decimal import Context, Decimal

from boardgen.spec.units import UNITS, unit_fault
from boardgen.tables.fault import FieldError
from boardgen.tables.shown import shown

_CONTEXT = Context(prec=60, traps=[])
_LONGEST = 60
_SHAPE = re.compile(r"([+-]?)([0-9.,]*[0-9][0-9.,]*)(?:[eE]([+-]?[0-9]+))? *(.*)")
_CODE = re.compile(r"([0-9]+(?=[kKM])|[0-9]*(?=[Rr]))([RrkKM])([0-9]+)(?: ?(?:ohms?|\u03a9))?")
_CODE_FACTOR = {"R": 0, "r": 0, "k": 3, "K": 3, "M": 6}
_BETWEEN = re.compile(r" *(?:\.\.\.?|…) *| +to +")
_SAME = str.maketrans(
    {
        "\u2126": "\u03a9",
        "\u00b5": "u",
        "\u03bc": "u",
        "\u2212": "-",
        "\u2103": "°C",
        "\u2109": "°F",
        "º": "°",
        "²": "2",
    }
    | dict.fromkeys("\u00a0\u202f\u2009", " ")
)
"""Characters that look alike: the ohm sign, micro sign and mu, minus sign, degree signs, and narrow spaces."""

_PREFIXES: dict[str, dict[int, str]] = {
    "Hz": {0: "", 3: "k", 6: "M", 9: "G"},
    "ohm": {-3: "m", 0: "", 3: "k", 6: "M", 9: "G"},
    "F": {-12: "p", -9: "n", -6: "u", 0: ""},
    "H": {-12: "p", -9: "n", -6: "u", -3: "m", 0: ""},
    "V": {-6: "u", -3: "m", 0: "", 3: "k"},
    "A": {-6: "u", -3: "m", 0: "", 3: "k"},
    "W": {-6: "u", -3: "m", 0: "", 3: "k"},
    "m": {-3: "m", 0: "", 3: "k"},
    "s": {-9: "n", -6: "u", -3: "m", 0: ""},
}


def refusal(value: object, why: str, wanted: str) -> FieldError:
    """The error for a value, quoted, that is not what is wanted, with the reason."""
    return FieldError(f"{shown(value)} {why}", wanted)


def short_text(text: object, wanted: str) -> str:
    """The text, trimmed, with one spelling for characters that look alike.

    Raises FieldError, saying what is wanted, where it is not text, empty, too long for a value, or unprintable.
    """
    if not isinstance(text, str):
        raise refusal(text, "is not a text", wanted)
    cleaned = text.translate(_SAME).strip(" ")
    if not cleaned:
        raise FieldError("the text is empty", wanted)
    if len(cleaned) > _LONGEST:
        raise refusal(cleaned, "is too long for a value", wanted)
    if not cleaned.isprintable():
        raise refusal(cleaned, "holds a character that cannot be printed", wanted)
    return cleaned


def parse(text: object, unit: str) -> float:
    """The value of `text` in SI units (degC for temperature, a fraction for %).

    Parameters
    ----------
    text
        A number with its unit, which may be left out of resistor codes (1k8, 4R7), counts and bare numbers only. A
        comma is a decimal mark where it can be nothing else.
    unit
        A key of UNITS.

    Raises
    ------
    FieldError
        For anything else, with the reason and what to write.

    Examples
    --------
    >>> parse("1k8", "ohm"), parse("0,1 uF", "F")
    (1800.0, 1e-07)

    """
    cleaned = _clean(text, unit)
    if unit == "ohm" and (code := _CODE.fullmatch(cleaned)):
        whole, letter, part = code.groups()
        return float(Decimal(f"{whole}.{part}").scaleb(_CODE_FACTOR[letter], _CONTEXT))
    number, spelling = _split(cleaned, unit)
    factor = UNITS[unit].factors.get(spelling)
    if factor is None:
        raise refusal(cleaned, f"cannot be read: {unit_fault(spelling, unit)}", UNITS[unit].wanted)
    if unit == "count" and number != number.to_integral_value(context=_CONTEXT):
        raise refusal(cleaned, "is not a whole number", UNITS[unit].wanted)
    return float(_CONTEXT.multiply(number, factor)) + 0.0


def parse_range(text: object, unit: str) -> tuple[float, float]:
    """The lowest and highest value of "13.2..14.0 V", "13.2 V to 14 V", or of one value, in SI units.

    Raises FieldError as `parse` does, and where the first value is above the second.
    """
    cleaned = _clean(text, unit)
    ends = _BETWEEN.split(cleaned)
    if len(ends) == 1 and re.search(r"[0-9] ?[-–~] ?[0-9]", cleaned):
        raise refusal(cleaned, "cannot be read: a range is written with two dots", _range_wanted(unit))
    if len(ends) > 2 or not all(ends):
        raise refusal(cleaned, "is not a range of two values", _range_wanted(unit))
    high = parse(ends[-1], unit)
    if len(ends) == 2 and re.fullmatch(r"[+-]?[0-9.,]+", ends[0]):
        ends[0] += " " + _split(ends[1], unit)[1]
    low = parse(ends[0], unit)
    if low > high:
        raise refusal(cleaned, "runs downwards", "write the lower value first")
    return low, high


BARE = ("count", "1")
"""Units that are not written."""


def format(value: float, unit: str, digits: int = 4) -> str:  # noqa: A001 - the natural word, used as quantity.format
    """The SI value as text with a prefix, such as "1.8 MHz", "100 nF" or "10 %" for 0.1.

    Rounded to `digits` significant digits; counts are not rounded. A unit unknown to `parse` takes no prefix. Reading
    the text back gives the same float for every value of that many digits.

    Raises FieldError for a value that is not finite.
    """
    if not math.isfinite(value):
        raise refusal(value, "is not a finite number", "a value that can be written down")
    exact = Decimal(repr(float(value)))
    if unit == "%":
        exact = exact.scaleb(2, _CONTEXT)
    rounded = exact if unit == "count" else Context(prec=digits).plus(exact)
    powers = _PREFIXES.get(unit, {0: ""})
    fitting = [power for power in powers if power <= rounded.adjusted()]
    power = 0 if rounded.is_zero() else max(fitting, default=min(powers))
    number = f"{rounded.scaleb(-power, _CONTEXT).normalize(_CONTEXT) + 0:f}"
    return number if unit in BARE else f"{number} {powers[power]}{unit}"


def _clean(text: object, unit: str) -> str:
    wanted = UNITS[unit].wanted
    if not isinstance(text, str):
        plain = isinstance(text, int | float) and not isinstance(text, bool)
        why = "is a bare number" if plain else "is not a text"
        raise refusal(text, why, f'write it as text with its unit, such as "{UNITS[unit].example}"')
    cleaned = short_text(text, wanted)
    if any(c.isnumeric() and not c.isascii() for c in cleaned):
        raise refusal(cleaned, "holds digits other than 0 to 9", wanted)
    return cleaned


def _split(text: str, unit: str) -> tuple[Decimal, str]:
    wanted = UNITS[unit].wanted
    shape = _SHAPE.fullmatch(text)
    if shape is None:
        raise refusal(text, "does not begin with a number", wanted)
    sign, number, exponent, spelling = shape.groups()
    if fault := _number_fault(number):
        raise refusal(text, f"cannot be read: {fault}", wanted)
    if exponent and (len(exponent) > 4 or abs(int(exponent)) > 30):
        raise refusal(text, "is beyond any value of a real part", wanted)
    return Decimal(f"{sign}{number.replace(',', '.')}e{exponent or 0}"), spelling


def _number_fault(number: str) -> str:
    if sum(number.count(mark) for mark in ".,") > 1:
        return f"{number} has more than one decimal mark"
    if number[-1] in ".,":
        return f"{number} ends in a decimal mark"
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", number):
        return f"{number} may be {number.replace(',', '.')} or {number.replace(',', '')}: use a point, or no comma"
    return ""


def _range_wanted(unit: str) -> str:
    value = UNITS[unit].example
    number, _, name = value.partition(" ")
    return f'write one value such as "{value}", or a range such as "{number}..{2 * float(number):g} {name}"'
