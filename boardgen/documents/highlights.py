"""The values a practitioner asks for first: windings, chokes, relay, cable."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.design import Design
from boardgen.documents.identity import named, of_choice, of_judged
from boardgen.documents.text import Text, Value, joined
from boardgen.documents.values import grouped, text, together
from boardgen.documents.verdicts import credible
from boardgen.model.choice import Choice

HEADINGS: Mapping[str, str] = {"choke": "choke", "blocking capacitor": "blocking"}
"""Of parts whose value and place are told, by role."""


def highlights(design: Design) -> tuple[tuple[str, Text], ...]:
    """Heading and words of each."""
    found: list[tuple[str, Text]] = [("winding", _windings(design))] if design.choices.windings else []
    for choice, labels in grouped(design.choices):
        part = design.choices.parts.get(choice.part)
        number = part.number if part else ""
        needed, chosen, achieved = (
            of_choice(choice, what, text(value, choice.unit), labels)
            for what, value in (("needed", choice.required), ("chosen", choice.chosen), ("achieved", choice.achieved))
        )
        if choice.role in HEADINGS:
            where = together(labels, design.request.strips)
            subject = f"{choice.subject}: {where}" if where else str(choice.subject)
            found.append((HEADINGS[choice.role], (chosen, f" {number} ({subject})")))
        elif choice.role == "relay voltage":
            found.append(("relay", (f"{number}: ", achieved, " left at the coil, ", needed, " needed")))
            found += _in_series(design)
        elif choice.role == "longest cable":
            reach: Text = ("up to ", achieved, " would work") if choice.achieved else "not even a short one would work"
            found.append(("cable", joined("", (needed, " asked for, ", reach))))
    return tuple(found)


def _in_series(design: Design) -> list[tuple[str, Text]]:
    """Isolation with one relay and with two in series side by side, and what couplings of the strips leave of it."""
    by_count = design.prediction.isolation_by_relays
    if not by_count:
        return []
    one, two = (
        Value(named("isolation", "by parts", str(count)), credible("isolation", figure, "dB"))
        for count, figure in by_count.items()
    )
    own = design.spec.switching.relays_in_series
    said: list[Text] = ["isolation by the parts alone: ", one, " with one in series, ", two, " with two"]
    judged = next((v.judged for v in design.prediction.verdicts if v.judged.quantity == "isolation"), None)
    if design.laid_out and judged is not None and judged.achieved is not None:
        figure = Value(of_judged(judged), credible("isolation", judged.achieved, "dB"))
        why = ", for strips couple too"
        if judged.achieved > by_count[own]:
            why = ": couplings of the strips happen to cancel part of what the contacts pass"
        said += ["; as laid out ", figure, f" with {'two' if own == 2 else 'one'}{why}"]
    return [("in series", joined("", [*said, "; boardgen explore lays both out"]))]


def _windings(design: Design) -> Text:
    """Turns of the port's winding to those of the board's on their cores, strips that are wound alike together."""
    alike: dict[tuple[float, float, str], list[tuple[Choice, Choice]]] = {}
    for subject in design.choices.windings:
        port, board = design.choices.choice("port turns", subject), design.choices.choice("turns", subject)
        alike.setdefault((port.chosen, board.chosen, board.part), []).append((port, board))
    return joined(", ", (_wound(design, part, both) for (_, _, part), both in alike.items()))


def _wound(design: Design, part: str, both: list[tuple[Choice, Choice]]) -> Text:
    labels = [board.subject.strip for _, board in both]
    port, board = (of_choice(choice, "chosen", f"{choice.chosen:.0f}", labels) for choice in both[0])
    turns: tuple[Text, ...] = (board,) if port.words == board.words else (port, ":", board)
    where = together(labels, design.request.strips)
    return joined("", (*turns, f" turns on {design.choices.parts[part].number} ({where})"))
