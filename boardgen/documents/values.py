"""The sized values as rows in which equal strips stand together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from boardgen.documents.text import in_row
from boardgen.model.choice import Choice
from boardgen.model.choices import Choices
from boardgen.model.part import Part
from boardgen.spec import quantity
from boardgen.spec.strip import Strip


class Row(Struct, frozen=True):
    """One value of the printed table: texts ready to print."""

    role: str
    subject: str
    needed: str
    chosen: str
    achieved: str
    margin: str
    part: str
    story: tuple[str, ...]


SIGNS: Mapping[str, str] = {"at least": "≥ ", "at most": "≤ ", "equal": "= "}


def rows(choices: Choices, strips: Sequence[Strip]) -> list[Row]:
    """One row for each distinct value; strips that share it are listed together."""
    return [_row(choice, together(labels, strips), choices.parts) for choice, labels in grouped(choices)]


def grouped(choices: Choices) -> list[tuple[Choice, tuple[str, ...]]]:
    """Each distinct value, for no strip, with the labels of the strips that share it."""
    found: dict[Choice, list[str]] = {}
    for choice in choices.values:
        alike = replace(choice, subject=replace(choice.subject, strip=""))
        found.setdefault(alike, []).append(choice.subject.strip)
    return [(choice, tuple(labels)) for choice, labels in found.items()]


SHOWN_ROLES: Mapping[str, str] = {"relay": "greatest coil voltage", "turns": "board turns"}
"""What roles are called where their own name says too little beside their figures."""


def role_of(choice: Choice) -> str:
    """What people call what was decided."""
    return SHOWN_ROLES.get(choice.role, choice.role)


def margin_of(choice: Choice) -> str:
    """Two digits after the point where they tell something; "" where a ratio says nothing."""
    if choice.margin is None:
        return ""
    return f"{choice.margin:.2f}" if choice.margin < 10 else f"{min(choice.margin, 999):.0f}"


def together(labels: Sequence[str], strips: Sequence[Strip]) -> str:
    """The labels in one text, "all ports" or "all antennas" where it is all of them, "" for the board itself."""
    if len(strips) > 2 and set(labels) == {s.label for s in strips}:
        return "all ports"
    if len(strips) > 2 and set(labels) == {s.label for s in strips if not s.is_output}:
        return "all antennas"
    return in_row(label for label in labels if label)


def _row(choice: Choice, where: str, parts: Mapping[str, Part]) -> Row:
    part = parts.get(choice.part)
    return Row(
        role=role_of(choice),
        subject=f"{choice.subject}: {where}" if where else str(choice.subject),
        needed=SIGNS[choice.bound] + text(choice.required, choice.unit),
        chosen=text(choice.chosen, choice.unit),
        achieved=text(choice.achieved, choice.unit),
        margin=margin_of(choice),
        part=part.number if part else "",
        story=_story(choice),
    )


def _story(choice: Choice) -> tuple[str, ...]:
    """Why, in short sentences."""
    at = f" at {quantity.format(choice.at_hz, 'Hz')}" if choice.at_hz else ""
    lines = [f"{choice.formula}; {choice.basis}{at}"]
    if choice.next_limit:
        lines.append(f"next: {choice.next_limit}")
    lines.append(f"{choice.standing}; {choice.source}")
    return tuple(lines)


def text(value: float, unit: str) -> str:
    """A number with its unit, as people write it."""
    if unit == "1":
        return f"{value:.3g}"
    if unit == "m" and value < 0.1:
        return f"{value * 1e3:.3g} mm"
    return quantity.format(value, unit, 3)
