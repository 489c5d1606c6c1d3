"""What a column of a table may hold, said once, in the annotation of a field.

The layout of a table is a Struct. Each field is `Annotated[type, Meta]`, where `column` makes the Meta; a plain Meta of
msgspec with gt, ge, le, description and extra["unit"] serves as well. A field with a default may be left out or blank.

    class RateRow(Struct, frozen=True):
        rate: Annotated[Decimal, column("how much of `to` one unit of `from` is worth", above=0)]
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from msgspec import NODEFAULT, Meta, Struct
from msgspec.structs import fields

from boardgen.tables.fault import FieldError

Check = Callable[[Any], object]


class TableColumn(Struct, frozen=True):
    """One column or key: its `name` in the file, that of its `field`, the type of its values and what they may be.

    `needed` without a default; `above`, `least` and `most` bound numbers, which are in `unit`. A text must match all of
    `pattern`, which `noun` names: "a currency code". `wanted` says what to write where that does not follow from the
    rest. Of a list of numbers there are as many as one of `counts` says.
    """

    name: str
    field: str
    type: Any
    needed: bool
    default: Any
    sentence: str
    unit: str = ""
    above: float | None = None
    least: float | None = None
    most: float | None = None
    pattern: str = ""
    noun: str = ""
    wanted: str = ""
    counts: tuple[int, ...] = ()

    @property
    def allowed(self) -> str:
        """The range in words: "more than 0 mm", "0 to 100"."""
        unit = f" {self.unit}" if self.unit else ""
        if self.above is not None:
            return f"more than {self.above:g}{unit}" + (f", at most {self.most:g}{unit}" if self.most else "")
        if self.most is None:
            return "a number" if self.least is None else f"a number from {self.least:g}{unit}"
        return f"{self.least:g} to {self.most:g}{unit}" if self.least is not None else f"at most {self.most:g}{unit}"

    def holds(self, number: Any) -> bool:
        """Whether the number is within the range."""
        return (
            (self.above is None or number > self.above)
            and (self.least is None or number >= self.least)
            and (self.most is None or number <= self.most)
        )

    def within(self, number: Any, shown: str) -> Any:
        """The number itself. Raises FieldError where it is outside the range."""
        if not self.holds(number):
            raise FieldError(found=f"{self.name} is {shown}", wanted=self.wanted or self.allowed)
        return number


def column(
    sentence: str,
    unit: str = "",
    *,
    above: float | None = None,
    least: float | None = None,
    most: float | None = None,
    pattern: str = "",
    noun: str = "",
    wanted: str = "",
    counts: tuple[int, ...] = (),
) -> Meta:
    """What the annotation of a field says of its column; the parameters are those of TableColumn.

    msgspec bounds no decimals by Meta(gt=...), hence the range stands beside.
    """
    told = {"unit": unit, "above": above, "least": least, "most": most, "pattern": pattern, "noun": noun}
    return Meta(description=sentence, extra={**told, "wanted": wanted, "counts": counts})


@lru_cache
def columns_of(layout: type[Struct]) -> tuple[TableColumn, ...]:
    """The columns of a table, in the order of the fields of its layout."""
    found = []
    for field in fields(layout):
        plain, metas = _parted(field.type)
        told: dict[str, Any] = {}
        for meta in metas:
            told |= {"sentence": meta.description or "", "above": meta.gt, "least": meta.ge, "most": meta.le}
            told |= meta.extra or {}
        default = field.default
        if default is NODEFAULT and field.default_factory is not NODEFAULT:
            default = field.default_factory()
        needed = default is NODEFAULT
        told.setdefault("sentence", "")
        value = None if needed else default
        found.append(TableColumn(field.encode_name, field.name, plain, needed, value, **told))
    return tuple(found)


def _parted(annotation: Any) -> tuple[Any, Iterable[Meta]]:
    """The type without None, and what is annotated."""
    metas: list[Meta] = []
    if get_origin(annotation) is Annotated:
        annotation, *extra = get_args(annotation)
        metas = [meta for meta in extra if isinstance(meta, Meta)]
    if get_origin(annotation) in (Union, UnionType):
        (annotation,) = (each for each in get_args(annotation) if each is not NoneType)
    return annotation, metas
