"""Choices of one specification side by side, as a script has them."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import nullcontext
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from boardgen.design import make_design
from boardgen.documents.explored import exploration, explored_csv
from boardgen.explore.options import Key, Option, weighed
from boardgen.explore.walk import Asked, boards, walk
from boardgen.inputs.board import NO_OVERRIDES, read_board
from boardgen.public.board import sources_of

if TYPE_CHECKING:
    import pandas


def weigh_choices(
    path: str | Path,
    over: Mapping[str, Sequence[str]] | None = None,
    *,
    overrides: Mapping[str, str] = NO_OVERRIDES,
    parts: str | Path | None = None,
    prices: str | Path | Sequence[str | Path] = (),
    on: date | None = None,
    executor: Executor | None = None,
) -> pandas.DataFrame:
    """Every combination of choices, built as `build` builds it.

    Parameters
    ----------
    path : the specification
    over : values to weigh by dotted key, such as {"switching.relays_in_series": ["1", "2"]}; without it what
        `boardgen explore` weighs unasked
    overrides : keys of the specification by their dotted names, which win over the file in every board
    parts, prices, on : as for `design_board`
    executor : does the work, by default a pool of a process for each processor. Any executor as in concurrent.futures
        will do, also that of an engine which spreads work over machines that have this package.

    Returns
    -------
    One row a board, the specification's own first, with the columns of `explored.csv`: `number` where nobody beats it.

    Raises
    ------
    InputError
        With every fault of the first file that fails, and for a key or value that is faulty by itself.

    """
    import pandas

    inputs = read_board(Path(path), sources_of(overrides, parts, prices, on))
    asked = Asked(inputs.request, inputs.offers, inputs.on, overrides)
    own = make_design(asked.request, asked.offers, asked.on, predicted=True, laid_out=True)
    options = [Option(Key(*dotted.split(".", 1)), tuple(values)) for dotted, values in (over or {}).items()]
    wanted = boards(asked, options or weighed(asked.request, {part.key for part in own.parts}))
    with nullcontext(executor) if executor else ProcessPoolExecutor() as pool:
        made = list(walk(asked, wanted, pool, {}, lambda _: None))
    return pandas.read_csv(io.BytesIO(explored_csv(exploration(own, made))))
