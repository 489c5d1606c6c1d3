"""What is wrong with a table: one field, and all faults of a file gathered so that they are reported at once."""

from __future__ import annotations

import re
from collections.abc import Iterable

from boardgen.model.problem import InputError, Place, Problem, Severity

_MOST_SHOWN = 16


class FieldError(ValueError):
    """A field that cannot be used. `found` and `wanted` are the two halves of a Problem."""

    def __init__(self, found: str, wanted: str) -> None:
        self.found = found
        self.wanted = wanted
        super().__init__(f"{found}; {wanted}")


class Faults:
    """The faults of one or more files in the making: each with file, line and key, what is allowed and what to do."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def __len__(self) -> int:
        return len(self._found)

    def add(
        self,
        identity: str,
        place: Place,
        found: str,
        wanted: str = "",
        hint: str = "",
        severity: Severity = "error",
    ) -> None:
        """One more fault."""
        self._found.append(Problem(identity, severity, place, found, wanted, hint))

    def unknown(self, identity: str, place: Place, what: str, word: str, allowed: Iterable[str]) -> None:
        """A word that is not one of the allowed, with the nearest that is."""
        choices = list(allowed)
        listed = ", ".join(choices[:_MOST_SHOWN]) + (", ..." if len(choices) > _MOST_SHOWN else "")
        wanted = f"allowed are {listed}" if choices else "none is allowed here"
        near = nearest(word, choices)
        self.add(identity, place, f'{what} "{word}" is unknown', wanted, f'Did you mean "{near}"?' if near else "")

    @property
    def found(self) -> tuple[Problem, ...]:
        """All of them, in the order in which they came."""
        return tuple(self._found)

    @property
    def by_line(self) -> tuple[Problem, ...]:
        """What was wrong with one file, in the order of its lines."""
        return tuple(sorted(self._found, key=lambda problem: problem.place.line or 0))

    def raise_any(self) -> None:
        """Raises InputError with every fault, file by file, if there is one."""
        if self._found:
            raise InputError(sorted(self._found, key=lambda problem: problem.place.file))


def nearest(word: str, choices: Iterable[str]) -> str:
    """The choice that is spelled most like the word, "" where none is near; capitals, spaces and dashes count alike."""
    # imported here because only a fault needs it
    from difflib import get_close_matches

    plain = {_bare(choice): choice for choice in choices}
    near = get_close_matches(_bare(word), plain, 1, 0.6)
    return plain[near[0]] if near else ""


def _bare(word: str) -> str:
    return re.sub(r"[ _-]", "", word).casefold()
