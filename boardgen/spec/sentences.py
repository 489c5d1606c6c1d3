"""What each table and key of a file is for, read from the models themselves."""

from __future__ import annotations

import ast
import inspect
import itertools
from collections.abc import Iterator
from functools import cache
from typing import get_args

from boardgen.spec.table import Table


def tables(table: type[Table]) -> Iterator[type[Table]]:
    """The table, then those in it in the order of their keys."""
    yield table
    for field in table.model_fields.values():
        for kind in (field.annotation, *get_args(field.annotation)):
            if isinstance(kind, type) and issubclass(kind, Table):
                yield from tables(kind)


@cache
def keys(table: type[Table]) -> list[tuple[str, str]]:
    """The keys that a table itself holds, with the sentence under each."""
    body = ast.parse(inspect.getsource(table)).body[0].body  # type: ignore[attr-defined]
    return [
        (ast.unparse(field.target), inspect.cleandoc(ast.literal_eval(after.value)))
        for field, after in itertools.pairwise(body)
        if isinstance(field, ast.AnnAssign) and isinstance(after, ast.Expr)
    ]
