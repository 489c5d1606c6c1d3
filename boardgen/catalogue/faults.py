"""Faults of the data files, gathered so that all are reported at once."""

from __future__ import annotations

import re
from collections.abc import Iterable

from boardgen.model.problem import InputError, Place, Problem

_MOST_SHOWN = 16


class Faults:
    """A list of problems in the making."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(self, identity: str, place: Place, found: str, wanted: str = "", hint: str = "") -> None:
        """One more problem, an error."""
        self._found.append(Problem(identity, "error", place, found, wanted, hint))

    def unknown(self, identity: str, place: Place, what: str, word: str, allowed: Iterable[str]) -> None:
        """A word that is not one of the allowed, with the nearest that is."""
        choices = list(allowed)
        listed = ", ".join(choices[:_MOST_SHOWN]) + (", ..." if len(choices) > _MOST_SHOWN else "")
        wanted = f"allowed are {listed}" if choices else "none is allowed here"
        self.add(identity, place, f'{what} "{word}" is unknown', wanted, _meant(word, choices))

    def raise_any(self) -> None:
        """Raises InputError with every problem found, file by file, if there is one."""
        if self._found:
            raise InputError(sorted(self._found, key=lambda problem: problem.place.file))


def _meant(word: str, choices: list[str]) -> str:
    # imported here because only a fault needs it
    from difflib import get_close_matches

    plain = {re.sub(r"[ _-]", "", choice).casefold(): choice for choice in choices}
    near = get_close_matches(re.sub(r"[ _-]", "", word).casefold(), plain, 1, 0.6)
    return f'Did you mean "{plain[near[0]]}"?' if near else ""
