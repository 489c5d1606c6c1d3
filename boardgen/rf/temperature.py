"""The judged figures with the cores as cold and as hot as the surroundings may be.

The permeability of each core's material is multiplied by the factor of that temperature at all frequencies, which is
the most: above its relaxation a ferrite changes less than at low frequency.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import starmap

import numpy as np
from msgspec import Struct

from boardgen.catalogue import Permeability
from boardgen.rf.judge import Judged
from boardgen.rf.network import Network
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.stray_ends import worst_figures
from boardgen.spec.keys import Spec


class CoreTemperature(Struct, frozen=True):
    """A core material and the factors on its permeability, the coldest first; a bound where they are not `known`."""

    material: str
    factors: tuple[float, float]
    known: bool
    source: str


class OverTemperature(Struct, frozen=True):
    """Coldest and hottest surroundings in degrees Celsius, the cores' materials, and the worst figures at both."""

    celsius: tuple[float, float]
    materials: tuple[CoreTemperature, ...]
    figures: Mapping[str, tuple[float, float]]

    def misses(self, judged: Judged) -> float | None:
        """The temperature at which a target that is met falls short, None where there is none."""
        if judged.state != "met" or judged.quantity not in self.figures:
            return None
        sign = 1 if QUANTITIES[judged.quantity].larger_is_better else -1
        both = zip(self.celsius, self.figures[judged.quantity], strict=True)
        return next((celsius for celsius, figure in both if sign * (figure - judged.wanted) < 0), None)


def over_temperature(
    spec: Spec, network: Network, tables: Mapping[str, Permeability], material_of: Mapping[str, str]
) -> OverTemperature | None:
    """What cold and heat do to the cores of a board; None where there are none.

    Parameters
    ----------
    tables : by material, as the catalogue has them
    material_of : by the key of a core

    """
    celsius = (spec.control.coldest, spec.control.hottest)
    cores = {at: material_of[network.parts[e.ref]] for at, e in enumerate(network.elements) if e.law == "transformer"}
    if not cores:
        return None
    cold, hot = celsius
    factors = {name: (tables[name].factor_at(cold), tables[name].factor_at(hot)) for name in cores.values()}
    draws = {(at, "permeability scale"): np.array(factors[name]) for at, name in cores.items()}

    def one(name: str, both: tuple[float, float]) -> CoreTemperature:
        return CoreTemperature(name, both, bool(tables[name].over_temperature), tables[name].temperature_source)

    return OverTemperature(celsius, tuple(starmap(one, factors.items())), worst_figures(spec, network, draws))
