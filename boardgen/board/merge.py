"""Makes one track of many that lie on one line."""

from __future__ import annotations

from boardgen.model.copper import Point, Side, Track

_Kind = tuple[Side, int, str, bool]
"""What tracks that become one have in common: side, width, net, surge."""


def merged(tracks: list[Track]) -> tuple[Track, ...]:
    """Straight tracks of one net and width that touch end to end, or lie on each other, made into one."""
    lines: dict[tuple[_Kind, Point, int], list[tuple[int, int]]] = {}
    found = []
    for track in tracks:
        (x1, y1), (x2, y2) = sorted((track.start, track.end))
        kind = (track.side, track.width_nm, track.net, track.surge)
        if x1 == x2:
            lines.setdefault((kind, (0, 1), x1), []).append((y1, y2))
        elif y1 == y2:
            lines.setdefault((kind, (1, 0), y1), []).append((x1, x2))
        elif abs(x2 - x1) == abs(y2 - y1):
            rise = 1 if y2 > y1 else -1
            lines.setdefault((kind, (1, rise), y1 - rise * x1), []).append((x1, x2))
        else:
            found.append(track)
    for ((side, width, net, surge), (across, rise), at), spans in lines.items():
        for low, high in _joined(spans):
            start, end = ((low, at + rise * low), (high, at + rise * high)) if across else ((at, low), (at, high))
            found.append(Track(side, start, end, width, net, surge))
    return tuple(found)


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
