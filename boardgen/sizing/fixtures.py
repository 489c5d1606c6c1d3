"""Parts that no number decides: connectors, terminals, links, studs, jacks, lamps."""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.part import Part
from boardgen.request import Request, candidates


def fixtures(request: Request) -> dict[tuple[str, Subject], Part]:
    """Every fixture of the board by name and place."""
    found = {("port", Subject(s.label, "port", "coax")): _connector(request, s.connector) for s in request.strips}
    link = candidates(request, "link", "")[0]
    found["link", Subject("", "bus", "bond")] = link
    found["link", Subject("", "earth", "link")] = link
    stud = candidates(request, "stud", "")[0]
    found["stud", Subject("", "earth", "stud")] = stud
    found["stud", Subject("", "control entry", "stud")] = stud
    found["terminal", Subject("", "control entry", "terminal")] = candidates(request, "terminal", "terminal")[0]
    found["jack", Subject("", "control entry", "jack")] = candidates(request, "jack", "")[0]
    found["lamp", Subject("", "selector", "indicator")] = candidates(request, "indicator", "indicator")[0]
    return found


def _connector(request: Request, style: str) -> Part:
    """The first connector of that style, or the pinned one."""
    offered = candidates(request, "connector", "connector")
    if request.spec.parts.connector:
        return offered[0]
    return next(p for p in offered if p.value == style)
