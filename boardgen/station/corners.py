"""The extremes at which a station must work, and what diodes drop there."""

from __future__ import annotations

from msgspec import Struct

from boardgen.kinds.direct_current import Drop, Warmth


class Corner(Struct, frozen=True):
    """An extreme: its name, temperature of the surroundings, supply, and which end of each tolerance is taken.

    At the lowest supply diodes drop most, at the highest least. `is_warm` says that a coil that is on has warmed up:
    so it is in the hottest surroundings, while in the coldest it has only just been switched on.
    """

    name: str
    celsius: float
    supply_v: float
    drop: Drop
    is_warm: bool = True

    @property
    def is_low(self) -> bool:
        """Whether wanted relays have least volts here."""
        return self.drop == "most"

    @property
    def warmth(self) -> Warmth:
        """What junctions are like here."""
        return Warmth(self.celsius, self.drop)


def corners(hottest: float, coldest: float, lowest_v: float, highest_v: float) -> tuple[Corner, ...]:
    """Both ends of temperature and supply."""
    found: list[Corner] = []
    for warm, celsius in (("hottest", hottest), ("coldest", coldest)):
        found.append(Corner(f"{warm} and lowest supply", celsius, lowest_v, "most", warm == "hottest"))
        found.append(Corner(f"{warm} and highest supply", celsius, highest_v, "least", warm == "hottest"))
    return tuple(found)
