"""A piece of wire that the builder cuts."""

from __future__ import annotations

from msgspec import Struct


class WireCut(Struct, frozen=True):
    """A length of wire to be cut, or at least to be left on a lead, as `basis` says; `refs` are the parts it is for."""

    refs: tuple[str, ...]
    what: str
    length_m: float
    basis: str
