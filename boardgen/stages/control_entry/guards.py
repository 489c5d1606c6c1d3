"""What guards the lines: suppressors to 0V, a fuse, a capacitor and a bleeder for each feed."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import Use
from boardgen.request import Request
from boardgen.stages.common import two_pin
from boardgen.stages.lines import feed_line_net, feed_net, lines


def uses(request: Request, choices: Choices) -> list[Use]:
    """Suppressors where surge protection is on, then the guards of each feed line."""
    return [*_suppressors(request, choices), *_feed_guards(request, choices)]


def _suppressors(request: Request, choices: Choices) -> list[Use]:
    if not request.spec.protection.surge:
        return []
    part = choices.part("line suppressor", Subject("", "control entry", "suppressor"))
    return [
        two_pin(
            Subject(line.strip, "control entry", f"{line.kind} suppressor"),
            part,
            part.value,
            line.net,
            "0V",
            line.fitted,
        )
        for line in lines(request)
        if line.kind != "0V"
    ]


def _feed_guards(request: Request, choices: Choices) -> list[Use]:
    found: dict[str, list[Use]] = {}
    shared = request.spec.switching.feed_lines == "shared"
    for strip in request.strips:
        net = feed_net(request, strip)
        if strip.feed is None or net in found:
            continue
        owner = "" if shared else strip.label
        fitted = shared or strip.fitted
        fuse_at = Subject(owner, "control entry", "feed fuse")
        fuse = choices.part("feed fuse", fuse_at)
        capacitor = choices.part("rail capacitor", Subject("", "control entry", "feed decoupling"))
        bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
        decoupling_at = Subject(owner, "control entry", "feed decoupling")
        bleeder_at = Subject(owner, "control entry", "feed bleeder")
        found[net] = [
            two_pin(fuse_at, fuse, fuse.value, feed_line_net(request, strip), net, fitted),
            two_pin(decoupling_at, capacitor, capacitor.value, net, "0V", fitted),
            two_pin(bleeder_at, bleeder, bleeder.value, net, "0V", fitted),
        ]
    return [use for guards in found.values() for use in guards]
