"""`explore` on three held-out specifications against a full enumeration: `python tests/bench/explore_enumeration.py`.

Every combination is written out as a text of its own and made by the pipeline; figures are counted from the design, and
who beats whom is asked of every pair. Exit 1 where a board that nobody beats is missing from what `explore` lists, or
where a board that meets everything has none in the list that is as good and takes no more. Takes some minutes.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Final

from boardgen.cli.process import settle

WAYS: Final = '[[antenna]]\nlabel = "a"\n[[antenna]]\nlabel = "b"\n'
FED: Final = '[[antenna]]\nlabel = "a"\nfeed = "12 V 60 mA"\n[[antenna]]\nlabel = "b"\n'


@dataclass(frozen=True)
class HeldOut:
    """What is the same on all boards, by table, and the values of each dotted key as the text has them."""

    antennas: str
    tables: Mapping[str, tuple[str, ...]]
    over: Mapping[str, tuple[str, ...]]


HELD_OUT: Final = {
    "50 ohm, two bands": HeldOut(
        WAYS,
        {"band": ('lowest = "80 m"', 'highest = "40 m"', 'impedance = "50 ohm"'), "targets": ('isolation = "60 dB"',)},
        {
            "switching.relays_in_series": ("1", "2"),
            "switching.idle": ('"terminated"', '"open"'),
            "switching.termination": ('"split"', '"single"'),
            "switching.braid_breakers": ('"all"', '"antennas"', '"none"'),
            "switching.extra_turns": ("0", "1"),
            "parts.core": ('"core-73-202"', '"core-43-202"'),
        },
    ),
    "fed, top band to 30 m": HeldOut(
        FED,
        {"band": ('lowest = "1.8 MHz"', 'highest = "10.15 MHz"'), "targets": ('common_mode = "1.5 kohm to 4 MHz"',)},
        {
            "switching.feed_arrangement": ('"local rail"', '"plain"', '"common-mode choked"'),
            "switching.bus_braid": ('"bonded"', '"floating"'),
            "switching.idle": ('"terminated"', '"open"'),
            "switching.compensation": ('"where it helps"', '"none"'),
            "protection.surge": ("true", "false"),
        },
    ),
    "long cable": HeldOut(
        WAYS,
        {"band": ('lowest = "1.8 MHz"', 'highest = "7.3 MHz"'), "control": ('supply = "13.2 V"', 'length = "2000 m"')},
        {
            "parts.relay": ('"relay-az850-12"', '"relay-hfd2-12-m"'),
            "control.returns": ("1", "2"),
            "control.entry": ('"terminals"', '"studs"'),
            "control.cables": ("1", "2"),
            "band.lowest": ('"1.8 MHz"', '"3.5 MHz"'),
            "switching.relays_in_series": ("1", "2"),
        },
    ),
}

TOLERANCES: Final = {"hours": 1.03, "area": 1.03}
"""By so much more is the same, as `docs/outputs.md` has it of what is assumed."""
CREDITED_DB: Final = {"isolation": 90.0, "mode conversion": 80.0}
"""What is better is as good."""
PER_TURN_S, PER_WINDING_S, PER_PART_S, PER_JOINT_S = 20, 180, 30, 12
"""As `docs/outputs.md` has them."""


@dataclass(frozen=True)
class Board:
    """What a board takes, and its figures as (larger is better, by how much more is the same)."""

    takes: tuple[float, ...]
    figures: tuple[tuple[float | None, float], ...]
    judged: frozenset[str]
    sound: bool


class Inline(Executor):
    """Does the work at once in this process."""

    def submit(self, do, /, *given, **named_ones):
        """As an executor does."""
        future = Future()
        future.set_result(do(*given, **named_ones))
        return future


def text_of(of: HeldOut, values: Mapping[str, str]) -> str:
    """A specification with these values."""
    tables = {table: list(lines) for table, lines in of.tables.items()}
    for dotted, value in values.items():
        table, key = dotted.split(".")
        lines = [line for line in tables.get(table, []) if line.split()[0] != key]
        tables[table] = [*lines, f"{key} = {value}"]
    return of.antennas + "".join(f"[{table}]\n" + "\n".join(lines) + "\n" for table, lines in tables.items())


def board_of(design) -> Board:
    """Figures and costs of a design, counted from its parts, windings and targets."""
    fitted = [c for c in design.netlist.components if c.fitted]
    refs = {c.ref for c in fitted}
    joints = sum(1 for net in design.netlist.nets for node in net.nodes if node.ref in refs)
    wound = {c.subject.strip for c in fitted if c.part.kind == "core"}
    turns = [c.chosen for c in design.choices.values if c.role in ("turns", "port turns") and c.subject.strip in wound]
    seconds = sum(PER_TURN_S * n + PER_WINDING_S for n in turns) + PER_PART_S * len(fitted) + PER_JOINT_S * joints
    prices = [(line.per_board, line.unit_price) for line in design.bill.lines if line.unit_price]
    money = float(sum(round(count * price, 2) for count, price in prices))
    layout = design.layout
    judged = frozenset(one.target for one in design.prediction.judged if one.state != "not judged")
    area = layout.board.width_nm * layout.board.height_nm * 1e-18 if layout else float("inf")
    return Board(
        (money, seconds / 3600, area), tuple(_figures(design)), judged, layout is not None and _is_sound(design)
    )


def _is_sound(design) -> bool:
    # what is priced only warns
    return not any(problem.severity in ("error", "shortfall") for problem in design.problems)


def _figures(design) -> Iterator[tuple[float | None, float]]:
    for verdict in design.prediction.verdicts:
        judged, bound = verdict.judged, verdict.bound
        if judged.achieved is None or bound is None:
            yield None, 0.0
            continue
        value = min(judged.achieved, CREDITED_DB.get(judged.target, float("inf")))
        same = max((bound.highest - bound.lowest) / 4, 0.05 if judged.unit == "dB" else 0.0)
        yield (-value if judged.target == "insertion_loss" else value), same
    worst = design.prediction.worst_in_band("mode conversion")
    yield (min(worst[0], CREDITED_DB["mode conversion"]), 1.0) if worst else (None, 0.0)
    strips, band = design.request.strips, design.spec.band
    yield sum(strip.braid_breaker for strip in strips), 0.0
    yield sum(strip.surge for strip in strips), 0.0
    yield -band.lowest, 0.0
    yield band.highest, 0.0


def as_good(one: Board, other: Board) -> bool:
    """Whether nothing of the other is better beyond what is not known, and the first takes no more."""
    slack = (1.0, TOLERANCES["hours"], TOLERANCES["area"])
    if any(mine > theirs * more for mine, theirs, more in zip(one.takes, other.takes, slack, strict=True)):
        return False
    for (mine, same), (theirs, their_same) in zip(one.figures, other.figures, strict=True):
        if mine is not None and theirs is not None and theirs - mine > max(same, their_same):
            return False
    return True


def main() -> int:
    """Prints for each specification how many boards there are, are listed, and are missing."""
    settle()
    from boardgen.design import make_design
    from boardgen.explore.options import named
    from boardgen.explore.unbeaten import unbeaten
    from boardgen.explore.walk import Asked, boards, texts, walk
    from boardgen.inputs.board import Sources, read_board
    from boardgen.request import Request
    from boardgen.spec.lines import SpecText
    from boardgen.spec.load import read_text

    # catalogue and demonstration prices
    inputs = read_board(Path(__file__).parents[2] / "templates" / "two-way.toml", Sources())

    def request_of(text: str) -> Request:
        return Request(read_text(text), inputs.request.catalogue, source=SpecText("", text))

    failed = False
    for name, held in HELD_OUT.items():
        made: dict[tuple[str, ...], Board] = {}
        for values in product(*held.over.values()):
            text = text_of(held, dict(zip(held.over, values, strict=True)))
            made[values] = board_of(make_design(request_of(text), inputs.offers, None, predicted=True, laid_out=True))
        # what leaves a target nothing to judge that the first is judged by does not meet it
        asked_for = next(iter(made.values())).judged
        sound = {v: board for v, board in made.items() if board.sound and asked_for <= board.judged} or made
        unequalled = [
            values
            for values, board in sound.items()
            if not any(as_good(other, board) for other in sound.values() if other is not board)
        ]
        first = {key: values[0] for key, values in held.over.items()}
        asked = Asked(request_of(text_of(held, first)), inputs.offers, None)
        options = named([f"{key}={','.join(v.strip(chr(34)) for v in values)}" for key, values in held.over.items()])
        explored = unbeaten(tuple(walk(asked, boards(asked, options), Inline(), {}, lambda _: None)))
        plain = {values: tuple(value.strip('"') for value in values) for values in made}
        listed = set()
        for board in explored:
            own = {key: value.strip('"') for key, value in first.items()} | texts(board.overrides)
            listed |= {values for values, texts_of in plain.items() if texts_of == tuple(own.values())}
        missing = [values for values in unequalled if values not in listed]
        uncovered = [v for v, board in sound.items() if not any(as_good(made[other], board) for other in listed)]
        counted = f"{len(made)} boards, {len(sound)} of them sound, {len(unequalled)} that nobody equals"
        sys.stdout.write(
            f"{name}: {counted}, {len(listed)} listed; {len(missing)} missing, {len(uncovered)} not covered\n"
        )
        for values in (*missing, *uncovered):
            sys.stdout.write(f"  missing: {dict(zip(held.over, values, strict=True))}\n")
        failed |= bool(missing or uncovered) or len(listed) != len(explored)
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
