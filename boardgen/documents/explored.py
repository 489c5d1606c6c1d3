"""What a walk over the choices found, in words and rows: the boards that nobody beats, and each step to one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from msgspec import Struct

from boardgen.appraisal import CONVERSION, Appraisal, gained
from boardgen.catalogue import Catalogue
from boardgen.design import Design
from boardgen.documents.clamp_on import advice, price_of
from boardgen.documents.comparison import conclusion, cost, gain_words
from boardgen.documents.counted import counted
from boardgen.documents.verdicts import number, shortest
from boardgen.explore.options import Key, Override, Overrides
from boardgen.explore.unbeaten import covers, misses, unbeaten
from boardgen.explore.walk import Explored, texts
from boardgen.formats.csv_text import csv_bytes, harmless
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.verdict import Verdict
from boardgen.spec.keys import Spec

WORDS: Final[Mapping[Override, str]] = {
    Override(Key("switching", "relays_in_series"), "1"): "one relay in series",
    Override(Key("switching", "relays_in_series"), "2"): "a second relay in series",
    Override(Key("switching", "braid_breakers"), "all"): "braid breakers at all ports",
    Override(Key("switching", "braid_breakers"), "antennas"): "braid breakers at the antennas alone",
    Override(Key("switching", "braid_breakers"), "output"): "a braid breaker at the output alone",
    Override(Key("switching", "braid_breakers"), "none"): "no braid breakers",
    Override(Key("switching", "idle"), "terminated"): "idle antennas terminated",
    Override(Key("switching", "idle"), "open"): "idle antennas open",
    Override(Key("switching", "termination"), "split"): "terminations split with their middle on 0V",
    Override(Key("switching", "termination"), "single"): "terminations of one resistor",
    Override(Key("switching", "extra_turns"), "0"): "the fewest turns",
    Override(Key("switching", "extra_turns"), "1"): "a turn more on each winding",
    Override(Key("switching", "extra_turns"), "2"): "two turns more on each winding",
    Override(Key("switching", "compensation"), "where it helps"): "compensation where it helps",
    Override(Key("switching", "compensation"), "none"): "no compensation",
    Override(Key("switching", "bus_braid"), "bonded"): "the braid of the bus bonded to 0V",
    Override(Key("switching", "bus_braid"), "floating"): "the braid of the bus floating",
    Override(Key("switching", "feed_arrangement"), "local rail"): "feeds by a local rail",
    Override(Key("switching", "feed_arrangement"), "plain"): "plain feeds",
    Override(Key("switching", "feed_arrangement"), "common-mode choked"): "common-mode choked feeds",
    Override(Key("protection", "surge"), "true"): "surge protection",
    Override(Key("protection", "surge"), "false"): "no surge protection",
}
"""Choices by key and value as people say them."""
HEADINGS: Final[Mapping[str, str]] = {
    "insertion_loss": "loss",
    "return_loss": "return",
    "isolation": "isolation",
    "common_mode": "common",
}
"""Targets as a narrow column names them."""
MARKS: Final[Mapping[str, str]] = {"falls short": "!", "met as stated": "?"}
NOTES: Final = "* as specified; ? met as stated, not over the whole bound; ! falls short"


class Exploration(Struct, frozen=True):
    """All boards of a walk over a specification, the specification's own first, and those that none of them beats.

    `listed` has them by their numbers, from 1, the cheapest first; `unfinished` are boards that were not made yet.
    `chosen` are the keys of core and relay of the specification's own board, and `clamp_on` is what cores on the coax
    would do in the place of its braid breakers, "" where no cable is named.
    """

    spec: Spec
    catalogue: Catalogue
    chosen: Mapping[str, str]
    boards: tuple[Explored, ...]
    listed: tuple[Explored, ...]
    unfinished: int = 0
    clamp_on: str = ""

    @property
    def own(self) -> Explored:
        """The board that the specification makes."""
        return self.boards[0]

    def number(self, board: Explored) -> int | None:
        """Its number where it is listed."""
        return self.listed.index(board) + 1 if board in self.listed else None

    def words(self, overrides: Overrides) -> str:
        """What a board has that the specification's own has not."""
        return ", ".join(map(self._word, overrides))

    def step_words(self, before: Explored, after: Explored) -> str:
        """What one board has that another has not."""
        old, new = ({each.key: each for each in board.overrides} for board in (before, after))
        other = [each for key, each in new.items() if old.get(key) != each]
        return self.words((*other, *(self._own(key) for key in old if key not in new)))

    def _word(self, override: Override) -> str:
        key, value = override.key, override.value
        if key.table == "parts":
            part = self.catalogue.parts.get(value)
            return f"{key.name.replace('_', ' ')} {part.number if part else 'as specified'}"
        return WORDS.get(override, f"{key.dotted} {value or 'as specified'}")

    def _own(self, key: Key) -> Override:
        return Override(key, self.own_value(key))

    def own_value(self, key: Key) -> str:
        """What the specification has itself, or the program chose; numbers in SI, "" where it is no single value."""
        value = getattr(getattr(self.spec, key.table), key.name)
        if value is None:
            return self.chosen.get(key.name, "")
        if isinstance(value, bool):
            return str(value).lower()
        return f"{value:g}" if isinstance(value, int | float) else value if isinstance(value, str) else ""


def exploration(own: Design, boards: Sequence[Explored], unfinished: int = 0) -> Exploration:
    """What comes of the boards that were made, of which the first is the specification's own."""
    chosen = {c.part.kind: c.part.key for c in own.netlist.components if c.part.kind in ("core", "relay")}
    cores = advice(own.prediction, price_of(own))
    return Exploration(own.spec, own.catalogue, chosen, tuple(boards), unbeaten(boards), unfinished, cores)


def heading(found: Exploration) -> list[str]:
    """How many boards there were, and what became of them."""
    refused = [board for board in found.boards if board.refused]
    made = [board.appraisal for board in found.boards if board.appraisal]
    short = sum(misses(appraisal, made[0]) for appraisal in made)
    said = [f"{counted(len(made), 'board')} laid out and judged"]
    if short:
        said.append(f"{short} of them miss a target or a rule")
    if refused:
        said.append(f"{len(refused)} more cannot be made: {refused[0].refused}")
    if found.unfinished:
        said.append(f"{found.unfinished} not made yet: the same command goes on")
    said.append(f"{counted(len(found.listed), 'board')} that nobody beats")
    if any(board.appraisal and not board.appraisal.features.guarded for board in found.boards):
        said.append(
            "caution: nothing on a board without surge protection lowers the risk of lightning; local code decides"
        )
    return said


def columns(found: Exploration) -> tuple[str, ...]:
    """The headings of the table: targets, conversion, what a board takes."""
    own = next(board.appraisal for board in found.boards if board.appraisal)
    targets = (HEADINGS[verdict.judged.target] for verdict in own.verdicts)
    return ("", *targets, "conv.", "cm2", own.currency, "hours")


def rows(found: Exploration) -> list[tuple[str, ...]]:
    """A row a listed board, and one for the specification's own where another beats it."""
    listed = [(str(number), board) for number, board in enumerate(found.listed, 1)]
    if found.own.appraisal and found.own not in found.listed:
        listed.insert(0, ("", found.own))
    return [
        (f"{number}{'*' if board is found.own else ''}", *_cells(board.appraisal))
        for number, board in listed
        if board.appraisal
    ]


def _cells(of: Appraisal) -> tuple[str, ...]:
    conversion = "" if of.conversion_db is None else shortest(CONVERSION, of.conversion_db, "dB")
    area = "" if of.area_m2 is None else f"{of.area_m2 * 1e4:.0f}"
    return (*map(_target, of.verdicts), conversion, area, str(of.board_value), f"{of.handwork_h:.1f}")


def _target(verdict: Verdict) -> str:
    judged = verdict.judged
    if judged.achieved is None:
        return ""
    return shortest(judged.quantity, judged.achieved, judged.unit) + MARKS.get(verdict.state, "")


def steps(found: Exploration) -> list[tuple[str, str]]:
    """The step to each listed board from the one before that is most like it: what it buys, and what it costs."""
    return [(str(number), _step(found, number, board)) for number, board in enumerate(found.listed, 1)]


def _step(found: Exploration, number: int, board: Explored) -> str:
    if board is found.own:
        return "the board as specified"
    before = [found.own, *(b for b in found.listed[: number - 1] if b is not found.own)]
    nearest = min(reversed([b for b in before if b.appraisal]), key=lambda b: _unlike(b, board), default=None)
    if nearest is None or nearest.appraisal is None or board.appraisal is None:
        return found.words(board.overrides)
    old, new = nearest.appraisal, board.appraisal
    start = "as specified" if nearest is found.own else f"as {found.number(nearest)}"
    said = [f"{start}, with {found.step_words(nearest, board)}"]
    gains, losses = gain_words(old, new), gain_words(new, old)
    said += [f"gains {gains}"] if gains else []
    said += [f"gives up {losses}"] if losses else []
    return "; ".join([*said, cost(old, new), conclusion(old, new), *_enough(old, new)])


def _unlike(one: Explored, other: Explored) -> int:
    """How many keys differ."""
    return len({each.key for each in set(one.overrides) ^ set(other.overrides)})


def _enough(old: Appraisal, new: Appraisal) -> list[str]:
    """Up to what wanted figure the first board is enough where the second is better in it."""
    better = {gain.figure for gain in gained(old, new)}
    said = []
    for verdict in old.verdicts:
        name, bound = verdict.judged.target.replace("_", " "), verdict.bound
        if name in better and bound is not None and verdict.state == "met":
            larger = QUANTITIES[verdict.judged.quantity].larger_is_better
            said.append(f"{name} {number(bound.lowest if larger else bound.highest, verdict.judged.unit)}")
    return [f"not needed while {', '.join(said)} will do"] if said else []


def beaten_by(found: Exploration) -> str:
    """Which listed board is as good as the specification's own and takes no more, "" where none is."""
    own = found.own.appraisal
    if own is None or found.own in found.listed:
        return ""
    better = [n for n, b in enumerate(found.listed, 1) if b.appraisal and covers(b.appraisal, own)]
    return f"the board as specified is beaten by {', '.join(map(str, better))}" if better else ""


def explored_csv(found: Exploration) -> bytes:
    """Every board of the walk as a table: its number where it is listed, its keys, its figures, why there is none."""
    keys = list(dict.fromkeys(each.key for board in found.boards for each in board.overrides))
    first = next(board.appraisal for board in found.boards if board.appraisal)
    targets = [verdict.judged for verdict in first.verdicts]
    heads = [
        f"{judged.target}_{what}_{judged.unit.lower()}"
        for judged in targets
        for what in ("stated", "lowest", "highest")
    ]
    takes = ["conversion_db", "area_cm2", "parts", "relays", "winding_h", "soldering_h", f"cost_{first.currency}"]
    states = [*(f"{judged.target}_state" for judged in targets), "missed_rules"]
    table = [
        [
            str(found.number(board) or ""),
            *(harmless(texts(board.overrides).get(key.dotted, found.own_value(key))) for key in keys),
            *(_figures(board.appraisal) if board.appraisal else [""] * len([*states, *heads, *takes])),
            harmless(board.refused),
        ]
        for board in found.boards
    ]
    return csv_bytes(["number", *(key.dotted for key in keys), *states, *heads, *takes, "refused"], table)


def _figures(of: Appraisal) -> list[str]:
    cells: list[str] = [*(verdict.state for verdict in of.verdicts), harmless("; ".join(of.missed_rules))]
    for verdict in of.verdicts:
        bound = verdict.bound
        cells += [f"{x:.6g}" for x in (bound.nominal, bound.lowest, bound.highest)] if bound else ["", "", ""]
    area = "" if of.area_m2 is None else f"{of.area_m2 * 1e4:.2f}"
    conversion = "" if of.conversion_db is None else f"{of.conversion_db:.6g}"
    hours = (f"{of.winding_h:.3f}", f"{of.soldering_h:.3f}")
    return [*cells, conversion, area, str(of.parts), str(of.relays), *hours, str(of.board_value)]
