"""Every option of a board as a specification, and ways to go through them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

SIGNAL: dict[str, tuple[object, ...]] = {
    "surge": (True, False),
    "feed": ("none", "plain", "local rail", "common-mode choked"),
    "feed_lines": ("own", "shared", "with selection"),
    "braid_breakers": ("all", "antennas", "output", "none"),
    "relays_in_series": (1, 2),
    "idle": ("terminated", "open"),
    "bus_braid": ("bonded", "floating"),
    "drive": ("high side", "low side"),
    "reverse": (True, False),
    "output_feed": (False, True),
}
"""Options that change the signal path or what holds it at DC."""

ENTRY: dict[str, tuple[object, ...]] = {
    "surge": (True, False),
    "earth_to_0v": ("gas tube", "linked", "open"),
    "entry": ("terminals", "studs", "jack"),
    "indicators": (True, False),
    "drive": ("high side", "low side"),
    "reverse": (True, False),
    "feed": ("none", "plain"),
    "feed_lines": ("own", "shared", "with selection"),
    "relays_in_series": (1, 2),
    "unfitted": (False, True),
}
"""Options of the control entry, the earth and the parts about a coil."""

ALL = SIGNAL | ENTRY
DEFAULTS = {name: values[0] for name, values in ALL.items()}


def refused(option: Mapping[str, object]) -> bool:
    """Feeds that follow the selection need a line that is driven high: any other board is refused by name."""
    following = option.get("feed_lines") == "with selection" and option.get("feed") != "none"
    return following and option.get("drive") == "low side"


def combinations(options: Mapping[str, tuple[object, ...]]) -> Iterator[dict[str, object]]:
    """Every combination of these options that can be built, the others at their defaults."""
    for values in itertools.product(*options.values()):
        chosen = DEFAULTS | dict(zip(options, values, strict=True))
        if not refused(chosen):
            yield chosen


def all_pairs(options: Mapping[str, tuple[object, ...]]) -> list[dict[str, object]]:
    """A set of combinations in which every pair of values of every two options occurs, by greedy choice."""
    pairs = {
        ((one, a), (other, b))
        for one, other in itertools.combinations(options, 2)
        for a in options[one]
        for b in options[other]
    }
    found = []
    while pairs:
        (one, a), (other, b) = min(pairs, key=repr)
        chosen: dict[str, object] = {one: a, other: b}
        for name, values in options.items():
            if name not in chosen:
                chosen[name] = max(values, key=lambda value: len(_covered(chosen | {name: value}) & pairs))
        pairs -= _covered({name: chosen[name] for name in options})
        found.append({name: chosen[name] for name in options})
    return [chosen for chosen in found if not refused(chosen)]


def _covered(chosen: Mapping[str, object]) -> set[tuple[tuple[str, object], tuple[str, object]]]:
    order = [name for name in ALL if name in chosen]
    return {((one, chosen[one]), (other, chosen[other])) for one, other in itertools.combinations(order, 2)}


def specification(option: Mapping[str, object], ways: int = 2) -> str:
    """The TOML text of a board with these options: every second antenna has a feed where feeds are asked for."""
    chosen = DEFAULTS | {"rest": "", "compensation": "where it helps"} | dict(option)
    fed = chosen["feed"] != "none"
    antennas = []
    for number in range(1, ways + 1):
        lines = ["[[antenna]]", f'label = "way {number}"']
        if fed and number % 2 == 1:
            lines.append('feed = "12 V 60 mA"')
        if chosen["unfitted"] and number == ways:
            lines.append("fitted = false")
        antennas.append("\n".join(lines))
    output_feed = 'feed = "12 V 60 mA"' if chosen["output_feed"] and fed else ""
    arrangement = chosen["feed"] if fed else "local rail"
    return f"""
title = "options"
[band]
lowest = "1.8 MHz"
highest = "10.15 MHz"
{chr(10).join(antennas)}
[output]
{output_feed}
[switching]
relays_in_series = {chosen["relays_in_series"]}
idle = "{chosen["idle"]}"
braid_breakers = "{chosen["braid_breakers"]}"
compensation = "{chosen["compensation"]}"
feed_arrangement = "{arrangement}"
feed_lines = "{chosen["feed_lines"]}"
bus_braid = "{chosen["bus_braid"]}"
{f'rest = "{chosen["rest"]}"' if chosen["rest"] else ""}
[protection]
surge = {str(chosen["surge"]).lower()}
earth_to_0v = "{chosen["earth_to_0v"]}"
reverse = {str(chosen["reverse"]).lower()}
[control]
drive = "{chosen["drive"]}"
entry = "{chosen["entry"]}"
indicators = {str(chosen["indicators"]).lower()}
length = "30 m"
conductors = 40
returns = 2
"""
