"""A piece of wire that the builder cuts."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cut:
    """`length_m` is to be cut, or at least to be left on a lead, as `basis` says; `refs` are the parts it is for."""

    refs: tuple[str, ...]
    what: str
    length_m: float
    basis: str
