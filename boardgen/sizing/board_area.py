"""How large the board will be, until it is laid out: an estimate from strips and stages."""

from __future__ import annotations

from boardgen.request import Request

PITCH_M = 20.32e-3
MARGIN_M = 15.24e-3
SELECTOR_M = 58.88e-3
SECOND_RELAY_M = 26.67e-3
BRAID_BREAKER_M = 21.59e-3
SURGE_AND_FEED_M = 27.94e-3
STANDING = "assumed until the board is laid out: a hand layout with 20.32 mm strips"


def area_m(request: Request) -> tuple[float, float]:
    """Width and height in metres."""
    width = len(request.strips) * PITCH_M + MARGIN_M
    height = SELECTOR_M
    if request.spec.switching.relays_in_series == 2:
        height += SECOND_RELAY_M
    if any(s.braid_breaker for s in request.strips):
        height += BRAID_BREAKER_M
    if any(s.surge or s.feed for s in request.strips):
        height += SURGE_AND_FEED_M
    return width, height
