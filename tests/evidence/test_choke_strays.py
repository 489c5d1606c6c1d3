"""Capacitance and loss of drum chokes, as the network has them, against the makers' sheets.

ABC RH0912 20121004-A p. 2, RH0910 20121003-E p. 2, RB1314 20130617-B p. 2 (read): typical self resonance and quality,
that at 796 kHz from 100 uH on and at 252 kHz of 1 mH; EPCOS B82144B 11/2005 p. 3 (read): least quality of a series of
the same build.
"""

import math

import numpy as np
import pytest

from boardgen.kinds.choke import CHOKE
from boardgen.kinds.radio import RadioPart
from boardgen.model.choice import Subject
from boardgen.model.netlist import Component
from boardgen.rf_network.device_models import LAWS
from tests.catalogue.shipped import CATALOGUE

# inductance in uH: self resonance in MHz and quality of each series
SHEETS = {
    "rh0912": {100: (7.2, 55), 150: (5.7, 40), 220: (4.5, 30), 330: (3.6, 25), 470: (2.9, 25), 680: (2.3, 25),
               1000: (1.9, 55)},
    "rh0910": {100: (7.0, 30), 150: (5.5, 30), 220: (5.0, 30), 330: (4.5, 30), 470: (4.0, 30), 680: (3.0, 30),
               1000: (2.5, 60)},
    "rb1314": {100: (5.4, 70), 150: (4.3, 70), 220: (3.4, 40), 330: (2.7, 40), 470: (2.3, 30), 680: (1.9, 30),
               1000: (1.6, 40)},
}  # fmt: skip
ALL = [(series, value, *figures) for series, rows in SHEETS.items() for value, figures in rows.items()]


def admittance(series, value, megahertz):
    """Of that choke between its pins, as the network of a board has it."""
    part = CATALOGUE.part(f"choke-{series}-{value}uh")
    component = Component("L1", Subject("a", "feed", "centre choke"), part, "", fitted=True)
    (element,) = CHOKE.radio(RadioPart(component, {"start": "one", "end": "other"}, None, CHOKE.assumed))
    values = {p.name: np.array([[p.value]]) for p in element.parameters}
    return complex(LAWS[element.law](values, np.array([2e6 * math.pi * megahertz]), None)[0][0, 0])


@pytest.mark.parametrize(("series", "value", "resonance_mhz", "quality"), ALL)
def test_self_resonance(series, value, resonance_mhz, quality):
    """From coil to capacitor within 3 % of the sheet's frequency: a capacitance a tenth off would miss it by 5 %."""
    assert (
        admittance(series, value, 0.97 * resonance_mhz).imag < 0 < admittance(series, value, 1.03 * resonance_mhz).imag
    )


@pytest.mark.parametrize(("series", "value", "resonance_mhz", "quality"), ALL)
def test_quality(series, value, resonance_mhz, quality):
    """What a meter of Q shows at the sheet's frequency; wire and what the capacitance takes off make it less."""
    found = admittance(series, value, 0.252 if value == 1000 else 0.796)
    assert 0.81 * quality < -found.imag / found.real < 1.05 * quality


def test_what_is_assumed_is_that_of_other_makers():
    """At least 20 to 40 from 100 to 680 uH, with the same build."""
    least = {100: 40, 150: 40, 220: 40, 330: 30, 470: 30, 680: 20}
    assumed = CHOKE.assumed["quality"]
    assert assumed.least < min(least.values()) <= assumed.value <= max(least.values()) < assumed.most
