"""Amateur bands by region of the International Telecommunication Union.

Source: ITU Radio Regulations, Article 5: 2200 m, 630 m, 12 m, 10 m, 60 m of region 1 and 160 m and 80 m of region 3
read at second hand, the rest recalled. National rules differ.
"""

from collections.abc import Mapping
from typing import Final

_Edges = tuple[float, float]

_EDGES_KHZ: Final[Mapping[str, tuple[_Edges, _Edges, _Edges]]] = {
    "2200 m": ((135.7, 137.8), (135.7, 137.8), (135.7, 137.8)),
    "630 m": ((472, 479), (472, 479), (472, 479)),
    "160 m": ((1810, 1850), (1800, 2000), (1800, 2000)),
    "80 m": ((3500, 3800), (3500, 4000), (3500, 3900)),
    "60 m": ((5351.5, 5366.5), (5351.5, 5366.5), (5351.5, 5366.5)),
    "40 m": ((7000, 7200), (7000, 7300), (7000, 7200)),
    "30 m": ((10100, 10150), (10100, 10150), (10100, 10150)),
    "20 m": ((14000, 14350), (14000, 14350), (14000, 14350)),
    "17 m": ((18068, 18168), (18068, 18168), (18068, 18168)),
    "15 m": ((21000, 21450), (21000, 21450), (21000, 21450)),
    "12 m": ((24890, 24990), (24890, 24990), (24890, 24990)),
    "10 m": ((28000, 29700), (28000, 29700), (28000, 29700)),
}

NAMES: Final = tuple(_EDGES_KHZ)
"""Every band, longest wave first."""

NOTES: Final[Mapping[str, str]] = {
    "160 m": "region 1 reaches 2.0 MHz in countries named in a footnote of the regulations",
}
"""What the edges alone do not say, by band."""


def edges(name: str, region: int) -> tuple[float, float]:
    """Lowest and highest frequency in hertz of the band `name` ("160 m") in ITU `region` 1, 2 or 3.

    Raises ValueError when the band or the region is unknown.

    Source: ITU Radio Regulations, Article 5 (standing by band: head of this file).
    """
    if name not in _EDGES_KHZ:
        message = f"no amateur band {name!r}; known are {', '.join(NAMES)}"
        raise ValueError(message)
    if region not in (1, 2, 3):
        message = f"region must be 1, 2 or 3, not {region}"
        raise ValueError(message)
    low_khz, high_khz = _EDGES_KHZ[name][region - 1]
    return low_khz * 1000, high_khz * 1000
