"""Makes one track of many that lie on one line."""

from __future__ import annotations

from boardgen.model.copper import Side, Track

_Line = tuple[Side, int, str, bool, int, int, int]
"""What tracks that become one have in common: side, width, net, surge; across and up by step; where it begins."""


def merged(tracks: list[Track]) -> tuple[Track, ...]:
    """Straight tracks of one net and width that touch end to end, or lie on each other, made into one."""
    lines: dict[_Line, list[tuple[int, int]]] = {}
    found = []
    for track in tracks:
        (x1, y1), (x2, y2) = track.start, track.end
        if track.end < track.start:
            x1, y1, x2, y2 = x2, y2, x1, y1
        if x1 == x2:
            line, span = (0, 1, x1), (y1, y2)
        elif y1 == y2:
            line, span = (1, 0, y1), (x1, x2)
        elif abs(y2 - y1) == x2 - x1:
            rise = 1 if y2 > y1 else -1
            line, span = (1, rise, y1 - rise * x1), (x1, x2)
        else:
            found.append(track)
            continue
        lines.setdefault((track.side, track.width_nm, track.net, track.surge, *line), []).append(span)
    for (side, width, net, surge, across, rise, at), spans in lines.items():
        for low, high in _joined(spans):
            start, end = ((low, at + rise * low), (high, at + rise * high)) if across else ((at, low), (at, high))
            found.append(Track(side, start, end, width, net, surge))
    return tuple(found)


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    if len(spans) == 1:
        return spans
    found: list[tuple[int, int]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
