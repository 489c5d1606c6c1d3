"""Boards to size: specifications as text, and what sizing makes of them."""

from functools import cache
from math import isfinite

from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

BANDS = (
    ("137 kHz", "2 MHz"),
    ("472 kHz", "7.3 MHz"),
    ("1.8 MHz", "10.15 MHz"),
    ("1.8 MHz", "30 MHz"),
    ("3.5 MHz", "30 MHz"),
    ("7 MHz", "7.3 MHz"),
    ("1.8 MHz", "2 MHz"),
)
IMPEDANCES = (75, 50, 93, 300)
ARRANGEMENTS = ("local rail", "plain", "common-mode choked")
LINES = ("own", "shared", "with selection")
CABLES = ("24 AWG", "22 AWG", "23 AWG", "26 AWG", "0.5 mm2", "93.8 ohm/km", "0.14 mm2")
LENGTHS = ("180 m", "10 m", "60 m", "400 m", "1000 m")
SUPPLIES = ("13.2..14.0 V", "12..15 V", "13.8 V", "24 V", "14.4 V")
FEEDS = ("12 V 60 mA", "5 V 20 mA", "12 V 10 mA", "10 V 150 mA")


@cache
def catalogue():
    """The parts that come with the program."""
    return CATALOGUE


def text(lowest="1.8 MHz", highest="10.15 MHz", impedance=75, antennas=2, ports=None, **tables):
    """A specification; `ports` holds the keys of antennas by number from 0, `tables` those of the other tables."""
    rows = ["[band]", f'lowest = "{lowest}"', f'highest = "{highest}"', f'impedance = "{impedance} ohm"']
    for number in range(antennas):
        rows += ["[[antenna]]", f'label = "antenna {number + 1}"', *_keys((ports or {}).get(number, {}))]
    for name, keys in tables.items():
        rows += [f"[{name}]", *_keys(keys)]
    return "\n".join(rows) + "\n"


def _keys(keys):
    return [f"{key} = {_value(value)}" for key, value in keys.items()]


def _value(value):
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if isinstance(value, int) else f'"{value}"'


def sized(specification, kept=None):
    """The request and the choices of a specification."""
    request = Request(read_text(specification), catalogue(), kept or {})
    return request, size(request)


def wide_variety(count=60):
    """Specifications whose options are turned at different speeds, so that they meet in many combinations."""
    return [_turned(number) for number in range(count)]


def _common_mode(n):
    """A limit of frequency lies within the band, or there is none."""
    target = ("3 kohm to 3.5 MHz", "1 kohm", "5 kohm to 2 MHz")[n // 2 % 3]
    return target.split(" to ")[0] if BANDS[n % 7][0] in ("3.5 MHz", "7 MHz") else target


def _turned(n):
    low_side = n % 5 == 3
    lines = LINES[n // 2 % 2] if low_side else LINES[n // 2 % 3]
    feed = FEEDS[0] if lines == "with selection" else FEEDS[n // 5 % 4]
    ports = {0: {"feed": feed}, 1: {"impedance": "50 ohm"} if n % 4 == 1 else {}}
    if n % 3 == 1:
        ports[1]["feed"] = "12 V 20 mA"
    if n % 11 == 5:
        ports = {}
    output = {"impedance": "75 ohm"} if n % 6 == 2 else {}
    if n % 7 == 4:
        output["feed"] = "10 V 30 mA"
    return text(
        *BANDS[n % 7],
        IMPEDANCES[n // 3 % 4],
        2 + n % 3,
        ports,
        output=output,
        switching={
            "feed_arrangement": ARRANGEMENTS[(n + n // 6) % 3],
            "feed_lines": lines,
            "relays_in_series": 1 + n // 4 % 2,
            "idle": ("terminated", "open")[n % 4 == 3],
        },
        protection={"surge": n % 2 == 0, "reverse": n % 9 != 7},
        control={
            "drive": "low side" if low_side else "high side",
            "cable": CABLES[n % 7],
            "length": LENGTHS[n // 2 % 5],
            "supply": SUPPLIES[n // 3 % 5],
            "returns": 1 + n % 4,
            "conductors": 12,
            "indicators": n % 4 == 2,
            "hottest": ("50 degC", "70 degC", "25 degC")[n // 4 % 3],
        },
        targets={"common_mode": _common_mode(n)},
    )


TARGET_ROLES = {"common-mode impedance"}
"""What only a prediction can judge: sizing tells the figure and does not call it a shortfall."""
CAUSES = {"longest cable": ("V150", "V151", "V181")}
"""A cable is too long because of a coil or of a feed, which is what the shortfall names."""


def unsaid(choices):
    """Choices that are not met, and of which no shortfall speaks."""
    said = {(p.place.key, p.id[:4]) for p in choices.problems if p.severity == "shortfall"}
    places, rules = {place for place, _ in said}, {rule for _, rule in said}
    return [
        f"{choice.role} of {choice.subject}: {choice.achieved} against {choice.required}"
        for choice in choices.values
        if not choice.met
        and choice.role not in TARGET_ROLES
        and str(choice.subject) not in places
        and not rules & set(CAUSES.get(choice.role, ()))
    ]


def not_numbers(choices):
    """Choices with a figure that is no finite number."""
    return [
        f"{choice.role} of {choice.subject}"
        for choice in choices.values
        if not all(
            isfinite(figure)
            for figure in (choice.required, choice.chosen, choice.achieved, choice.margin or 0, choice.at_hz or 0)
        )
    ]
