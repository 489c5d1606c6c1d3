"""Stations to prove: random plans over boards of one to eight ways, put together without files."""

import random
from functools import cache

from boardgen.catalogue import load as load_catalogue
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.station.consistency import between_files, inconsistencies
from boardgen.station.feasible import impossibilities
from boardgen.station.keys import Plan
from boardgen.station.load import with_cables
from boardgen.station_design import StationDesign

BAND = '[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n'
NAMES = ("dune", "heath", "marsh", "wood")


@cache
def catalogue():
    """The parts that come with the program."""
    return load_catalogue()


def box_text(ways, feeds=0, *, reverse=True, indicators=False, lines="own", drive="high side", choke=""):
    """A specification; the first `feeds` antennas have a feed."""
    rows = [BAND]
    feed = 'feed = "12 V 60 mA"\n'
    rows += [f'[[antenna]]\nlabel = "way {n + 1}"\n' + (feed if n < feeds else "") for n in range(ways)]
    rows.append(f'[switching]\nfeed_lines = "{lines}"\n')
    rows.append(f"[protection]\nreverse = {str(reverse).lower()}\n")
    rows.append(f"[control]\nindicators = {str(indicators).lower()}\nconductors = 24\n")
    rows.append(f'drive = "{drive}"\n')
    rows.append(f'[parts]\nchoke = "{choke}"\n' if choke else "")
    return "\n".join(rows)


@cache
def box_design(*arguments, **options):
    """A design with its netlist, as the cable of its specification has it."""
    return make_design(Request(read_text(box_text(*arguments, **dict(options)), "box.toml"), catalogue()))


class Sized:
    """What a station takes of a box's design, with other cables: the same netlist and parts."""

    offers, on, predicted, laid_out = (), None, False, False

    def __init__(self, design, spec):
        self.spec, self.netlist, self.choices = spec, design.netlist, design.choices
        self.request = Request(spec, design.catalogue)


def station(boxes, directions, *, source=None, rest=None, remotes=(), pairs=()):
    """A station design of boxes (name, design, control keys) and directions (label, antenna, remote or None).

    `pairs` are further directions that select two antennas at once (label, antenna, the one beside it).
    """
    data = {
        "source": {"outputs": 128, **(source or {})},
        "receiver": {"rest": rest} if rest else {},
        "box": [{"name": name, "spec": f"{name}.toml", "control": control} for name, _, control in boxes],
        "remote": [{"name": name, "antenna": antenna} for name, antenna in remotes],
        "direction": [
            {"label": label, "bearing": "0 deg", "antenna": antenna} | ({"remote": remote} if remote else {})
            for label, antenna, remote in directions
        ]
        + [{"label": label, "bearing": "0 deg", "antenna": a, "beside": b} for label, a, b in pairs],
    }
    plan = Plan.model_validate(data)
    specs = {b.name: with_cables(plan, b, design.spec) for b, (_, design, _) in zip(plan.box, boxes, strict=True)}
    faults = [*inconsistencies(plan), *between_files(plan, specs), *impossibilities(plan, specs)]
    assert faults == []
    sized = {name: Sized(design, specs[name]) for name, design, _ in boxes}
    return StationDesign(plan, sized, catalogue())


VARIANTS = (
    (1, 0, {}),
    (2, 0, {"indicators": True}),
    (3, 0, {}),
    (4, 0, {"reverse": False}),
    (5, 0, {}),
    (6, 0, {"indicators": True, "reverse": False}),
    (7, 0, {}),
    (8, 0, {}),
    (2, 1, {}),
    (4, 2, {"lines": "shared"}),
    (8, 3, {}),
)
"""Ways, feeds, and what else the specification of a box says; every one is built once."""


def random_station(seed, *, longest_m=500, supply="13.2..14.0 V"):
    """One to four boxes of one to eight ways, any rest, cables of 10 m to `longest_m`, several kinds of source."""
    pick = random.Random(seed)
    boxes, directions, remotes = [], [], []
    for name in NAMES[: pick.randint(1, 4)]:
        ways, feeds, options = pick.choice(VARIANTS)
        control = {
            "length": f"{pick.randint(10, longest_m)} m",
            "cable": pick.choice(("24 AWG", "22 AWG", "0.5 mm2")),
            "conductors": 24,
            "returns": pick.randint(1, 4),
        }
        boxes.append((name, box_design(ways, feeds, **options), control))
        for n in range(1, ways + 1):
            antenna = f"{name}/way {n}"
            directions.append((f"{name} {n}", antenna, None))
            if n <= feeds and pick.random() < 0.7:
                remotes.append((f"switch {name} {n}", antenna))
                directions.append((f"{name} {n} back", antenna, f"switch {name} {n}"))
    source = pick.choice(
        (
            {},
            {"drop": "0.3 V"},
            {"together": True, "outputs": 40},
            {"kind": "manual switch"},
            {"kind": "manual switch", "poles": 2},
            {"diodes": "boxes"},
        )
    )
    return station(
        boxes,
        directions,
        source={**source, "supply": supply},
        rest=pick.choice([None, boxes[0][0], boxes[-1][0]]),
        remotes=remotes,
    )
