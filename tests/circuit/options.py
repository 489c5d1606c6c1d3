"""Every option of a board as a specification, and ways to go through them."""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping

Options = Mapping[str, tuple[object, ...]]
"""The values of each option."""
Values = tuple[tuple[str, object], ...]
"""Options with a value each."""

SIGNAL: Options = {
    "surge": (True, False),
    "feed": ("none", "plain", "local rail", "common-mode choked"),
    "feed_lines": ("own", "shared", "with selection"),
    "braid_breakers": ("all", "antennas", "output", "none"),
    "relays_in_series": (1, 2),
    "idle": ("terminated", "open"),
    "termination": ("split", "single"),
    "bus_braid": ("bonded", "floating"),
    "drive": ("high side", "low side"),
    "reverse": (True, False),
    "output_feed": (False, True),
    "attenuator": ("", "6 dB, 10 dB"),
}
"""Options that change the signal path or what holds it at DC."""

ENTRY: Options = {
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

ALL = {**SIGNAL, **ENTRY}
DEFAULTS = {name: values[0] for name, values in ALL.items()}


def refused(option: Mapping[str, object]) -> bool:
    """Whether no board has these options; what an unfinished choice has not decided yet speaks for it.

    Feeds that follow the selection need a line that is driven high, and one antenna at least is fitted.
    """
    following = option.get("feed_lines") == "with selection" and option.get("feed", "none") != "none"
    nothing_fitted = bool(option.get("unfitted")) and option.get("ways") == 1
    return (following and option.get("drive") == "low side") or nothing_fitted


def tuples(options: Options, strength: int) -> set[Values]:
    """Every choice of values for every `strength` of these options that can be built."""
    return {
        values
        for names in itertools.combinations(options, strength)
        for values in itertools.product(*([(name, value) for value in options[name]] for name in names))
        if not refused(dict(values))
    }


def covering(options: Options, strength: int, seed: int = 0) -> list[dict[str, object]]:
    """A covering array: combinations in which all values of every `strength` options meet, neighbours much alike.

    Algorithm: greedy, one row at a time. A row starts from values that have not met yet, and takes for each other
    option the value with which most of the rest meet. What is equally good is drawn by lot: another `seed` may need
    some rows less. Cost: for n options, rows times n to the power of `strength`.
    """
    lot = random.Random(seed)
    missing = tuples(options, strength)
    # sorted before it is shuffled, so that the array is the same in every process
    waiting = sorted(missing, key=repr)
    lot.shuffle(waiting)
    rows = []
    while missing:
        chosen = dict(next(values for values in waiting if values in missing))
        others = [name for name in options if name not in chosen]
        lot.shuffle(others)
        for name in others:
            allowed = [value for value in options[name] if not refused(chosen | {name: value})]
            met = [len(_met(chosen, (name, value), options, strength) & missing) for value in allowed]
            chosen[name] = lot.choice([value for value, count in zip(allowed, met, strict=True) if count == max(met)])
        chosen = {name: chosen[name] for name in options}
        missing -= set(itertools.combinations(chosen.items(), strength))
        rows.append(chosen)
    return sorted(rows, key=lambda row: [options[name].index(value) for name, value in row.items()])


def _met(chosen: Mapping[str, object], new: tuple[str, object], options: Options, strength: int) -> set[Values]:
    """The values that meet in a row where an option's value comes to those that are chosen."""
    order = {name: place for place, name in enumerate(options)}
    others = itertools.combinations(chosen.items(), strength - 1)
    return {tuple(sorted((*some, new), key=lambda value: order[value[0]])) for some in others}


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
    attenuator = f'attenuator = "{chosen["attenuator"]}"' if chosen["attenuator"] else ""
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
{attenuator}
[switching]
relays_in_series = {chosen["relays_in_series"]}
idle = "{chosen["idle"]}"
termination = "{chosen["termination"]}"
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
