"""What commands and files say of one board, each read by itself, so that they can be held against one another."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from tests.circuit import options

BANDS = {"lower": ("472 kHz", "7.3 MHz"), "middle": ("1.8 MHz", "10.15 MHz"), "upper": ("3.5 MHz", "29.7 MHz")}
TARGETS = {
    "default": "",
    "near": 'insertion_loss = "0.36 dB"\ncommon_mode = "3.9 kohm to 3.5 MHz"\n',
    "many relays": 'isolation = "78 dB"\ncommon_mode = "1 kohm to 3.5 MHz"\n',
}
"""Targets that the rules of sizing hold, that hang on parts and copper, and that one relay does not hold."""
UNLIKE: options.Options = {
    **options.ENTRY,
    **options.SIGNAL,
    "band": tuple(BANDS),
    "prefer": ("easy to build", "small", "cheap"),
    "targets": tuple(TARGETS),
    "ways": (2, 1),
}
"""All options of a board, what is asked of it, and what decides among its parts."""


def specification(row: Mapping[str, object]) -> str:
    """The TOML text of one of the unlike boards."""
    lowest, highest = BANDS[str(row["band"])]
    text = options.specification(row, int(str(row["ways"])))
    text = text.replace('lowest = "1.8 MHz"', f'lowest = "{lowest}"').replace("10.15 MHz", highest)
    targets = TARGETS[str(row["targets"])]
    return f'{text}[prefer]\nparts = "{row["prefer"]}"\n' + (f"[targets]\n{targets}" if targets else "")


FEEDER = """[feeder]
cable = "RG-6 copper centre"
length = "30 m"
noise_figure = "12 dB"
"""
"""What the plan below says of the main coax, as keys of a specification."""
IN_HAND = """[[in_hand]]
part = "relay-az850-12"
pieces = 3
[[in_hand]]
part = "core-73-302"
[[in_hand]]
part = "hardware-screw-m3"
pieces = 5
"""
"""Parts of which some are bought, none, and whatever the board takes."""
STATION, BOX = "one box", "field"


def plan(row: Mapping[str, object], path: str) -> str:
    """The plan of a station whose one box is that unlike board, with the cables and supply of its specification."""
    text = specification(row)
    fed = 'feed = "12 V 60 mA"' in text.partition("[output]")[0]
    lines = [
        f"""title = "{STATION}"
[source]
kind = "{"open drain" if row["drive"] == "low side" else "relay outputs"}"
outputs = 8
supply = "13.2..14.0 V"
[receiver]
rest = "{BOX}"
figure = "12 dB"
[[box]]
name = "{BOX}"
spec = "{path}"
feeder = {{ cable = "RG-6 copper centre", length = "30 m" }}
control = {{ length = "30 m", conductors = 40, returns = 2 }}"""
    ]
    if fed:
        lines.append(f'[[remote]]\nname = "amplifier"\nantenna = "{BOX}/way 1"')
    ways = [way for way in ("way 1", "way 2") if f'label = "{way}"\nfitted = false' not in text and f'"{way}"' in text]
    for number, way in enumerate(ways):
        remote = '\nremote = "amplifier"' if fed and way == "way 1" else ""
        lines.append(f'[[direction]]\nlabel = "{way}"\nbearing = "{90 * number} deg"\nantenna = "{BOX}/{way}"{remote}')
    return "\n".join(lines) + "\n"


def choices(document) -> dict[tuple[str, str], tuple[str, float]]:
    """The parts and numbers that were chosen, by role and place."""
    return {(v["role"], v["subject"]): (v["part"], v["chosen"]) for v in document["values"]}


def chosen(document, role: str) -> set[str]:
    """The parts of that role."""
    return {v["part"] for v in document["values"] if v["role"] == role}


def short(targets) -> set[str]:
    """The targets that are missed."""
    return {t["target"] for t in targets if t["state"] == "falls short"}


def undecided(targets) -> set[str]:
    """The targets whose bound reaches to both sides of what is wanted: laid copper may settle them either way."""
    return {t["target"] for t in targets if t["lowest"] is not None and t["lowest"] <= t["wanted"] <= t["highest"]}


def rows(data: bytes) -> list[dict[str, str]]:
    """A table by its headings."""
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"))))


def billed(files: Mapping[str, bytes]) -> Counter[tuple[str, str]]:
    """Designators that are fitted with the maker's number of each, as the bill has them."""
    return Counter(
        (ref, line["maker's number"]) for line in rows(files["bill.csv"]) for ref in line["designators"].split()
    )


def assembled(files: Mapping[str, bytes]) -> Counter[tuple[str, str]]:
    """The same, as the bill for an assembly house has them."""
    return Counter(
        (ref, line["Manufacturer Part Number"])
        for line in rows(files["assembly-bill.csv"])
        for ref in line["Designator"].split(",")
    )


COMPONENT = re.compile(
    r'\(comp \(ref "([^"]*)"\).*?\(name "Maker"\) "([^"]*)".*?\(name "Number"\) "([^"]*)".*?\(name "Fitted"\) "(\w+)"'
)


def wired(files: Mapping[str, bytes], *, bought: bool) -> Counter[tuple[str, str]]:
    """The same, as the netlist has them; pads and links of wire are not bought."""
    found = COMPONENT.findall(files["netlist.net"].decode())
    return Counter(
        (ref, number) for ref, maker, number, fitted in found if fitted == "yes" and not (bought and maker == "none")
    )


TRANSFORMER = re.compile(
    r'\(comp \(ref "(T[0-9]+)"\).*?\(name "Number"\) "([^"]*)".*?\(name "Strip"\) "([^"]*)".*?\(name "Fitted"\) "yes"'
)


def transformers(files: Mapping[str, bytes]) -> list[tuple[str, str, str]]:
    """Designator, core and strip of each transformer that is fitted."""
    lines = files["netlist.net"].decode().splitlines()
    return [found.groups() for line in lines if (found := TRANSFORMER.search(line))]  # type: ignore[misc]


def needed(order) -> dict[str, tuple[Decimal, Decimal]]:
    """What an order takes of each part and how many of these are spares; a bare board bears its title's name there."""
    found: dict[str, tuple[Decimal, Decimal]] = {}
    for line in (line for supplier in order["suppliers"] for line in supplier["lines"]):
        number = line["number"].removeprefix("options, revision A: ")
        old = found.get(number, (Decimal(), Decimal()))
        found[number] = old[0] + Decimal(line["needed"]), old[1] + Decimal(line["spares"])
    return found


WORST = {
    "insertion loss": ("max", ("insertion_loss_db",)),
    "return loss": ("min", ("return_loss_antenna_db", "return_loss_output_db")),
    "isolation": ("min", ("isolation_db",)),
}
"""Of targets that every port has, how the worst figure is found in the curves."""


def worst_of_curves(files: Mapping[str, bytes], target, lowest_hz: float) -> float | None:
    """The worst figure of a target in response.csv; None where that table does not tell."""
    if target["target"] not in WORST or target["achieved"] is None:
        return None
    which, columns = WORST[target["target"]]
    top = target["to_hz"] or target["highest_hz"]
    inside = [
        float(row[c])
        for row in rows(files["response.csv"])
        for c in columns
        if row[c] and lowest_hz * 0.9999 <= float(row["frequency_hz"]) <= top * 1.0001
    ]
    return max(inside) if which == "max" else min(inside)


def moved_by_split(response, target, lowest_hz: float, highest_hz: float) -> float:
    """By how much the unknown split of a capacitance makes a figure worse than its middle, in the curves of `response`.

    With the split at its worst they must give the figure of that document's own target.
    """
    which, _ = WORST[target["target"]]
    pick, end = (max, "high") if which == "max" else (min, "low")
    top = (target["to_hz"] or highest_hz) * 1.0001
    inside = [lowest_hz * 0.9999 <= hz <= top for hz in response["frequency_hz"]]
    curves = [curve for curve in response["curves"] if curve["quantity"] == target["target"]]
    middle, worst = (
        pick(value for curve in curves for value, counts in zip(curve[key], inside, strict=True) if counts)
        for key in ("values", end)
    )
    (judged,) = (t["achieved"] for t in response["targets"] if t["target"] == target["target"])
    assert abs(worst - judged) <= 1e-9 * judged
    return worst - middle


def read_folder(folder: Path) -> dict[str, bytes]:
    """Every file below it by its path."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}
