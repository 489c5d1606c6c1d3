"""The boards that no other beats: as good within what is not known, and no dearer, larger or harder to make.

Boards are taken in order of money, hours, area, and each that one taken before covers is left out: so whatever is left
out has a board in the answer that is as good and takes no more, and the cheapest of equals is named. The cost is that
of comparing every board with those that are kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from boardgen.appraisal import Appraisal, gained
from boardgen.explore.walk import Explored

EQUAL = 0.03
"""Share by which areas and hours may differ and are still the same to a builder: our judgement."""


def unbeaten(boards: Sequence[Explored]) -> tuple[Explored, ...]:
    """Those that no other beats, the cheapest first.

    Boards that cannot be laid out, miss a rule, or do not meet the targets as the first of all is judged by them, are
    not in it, unless all are such.

    Parameters
    ----------
    boards : the specification's own first

    """
    made = [(board, board.appraisal) for board in boards if board.appraisal]
    sound = [pair for pair in made if pair[1].size_m and not misses(pair[1], made[0][1])] or made
    kept: list[tuple[Explored, Appraisal]] = []
    for board, appraisal in sorted(sound, key=lambda pair: (*_takes(pair[1]), len(pair[0].overrides))):
        if not any(covers(other, appraisal) for _, other in kept):
            kept.append((board, appraisal))
    return tuple(board for board, _ in kept)


def misses(one: Appraisal, own: Appraisal) -> bool:
    """Whether a rule or target is missed, or one has nothing left to judge that the specification's own board has."""
    return one.falls_short or any(
        verdict.state == "not judged" != asked.state for verdict, asked in zip(one.verdicts, own.verdicts, strict=True)
    )


def covers(one: Appraisal, other: Appraisal) -> bool:
    """Whether the first is as good as the second, within what is not known, and takes no more of anything.

    Area and hours that differ by less than EQUAL are the same: the hours are assumed.
    """
    (money, *rest), (other_money, *other_rest) = _takes(one), _takes(other)
    no_more = money <= other_money and all(a <= b * (1 + EQUAL) for a, b in zip(rest, other_rest, strict=True))
    return no_more and not gained(one, other)


def _takes(of: Appraisal) -> tuple[float, ...]:
    """Money, hours, area."""
    return float(of.board_value), of.handwork_h, of.area_m2 or math.inf
