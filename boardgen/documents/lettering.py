"""How much room words take on a drawing: on the large side, since the reader's face is not known."""

from __future__ import annotations

from functools import lru_cache

from boardgen.model.sketch import ems

SANS = "DejaVu Sans, Verdana, Arial, sans-serif"
MONO = "DejaVu Sans Mono, Liberation Mono, Menlo, Consolas, monospace"
_WIDEST, _CAPITAL, _SMALL = 1.0, 0.79, 0.65


def sans_ems(words: str) -> float:
    """Width of words in a proportional face, in ems."""
    return sum(map(_sans, words))


@lru_cache(maxsize=1024)
def _sans(letter: str) -> float:
    if letter in "mwMW@%…—":
        return _WIDEST
    if letter < "\u0080":
        return _SMALL if letter.islower() or letter.isdigit() or letter in " .,:;-'" else _CAPITAL
    if letter < "\u0250" or "\u0370" <= letter < "\u0530":
        return 1.15
    return ems(letter)


def wrapped(words: str, most_ems: float) -> list[str]:
    """Words in lines that are no wider, broken at spaces, and inside a word only where it fills a line by itself."""
    lines: list[str] = []
    line = ""
    for word in words.split(" "):
        longer = f"{line} {word}" if line else word
        if sans_ems(longer) <= most_ems:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while sans_ems(line) > most_ems:
            cut = _fitting(line, most_ems)
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line] if line or not lines else lines


def _fitting(word: str, most_ems: float) -> int:
    """How many letters fit, at least one."""
    total = 0.0
    for number, letter in enumerate(word):
        total += _sans(letter)
        if total > most_ems:
            return max(1, number)
    return len(word)
