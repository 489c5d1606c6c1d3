"""Formulas worked by hand, in cases where they must hold, against whole boards through the solver."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.design import make_design
from boardgen.handbook import reactance
from boardgen.model.parasitics import Parasitics
from boardgen.request import Request
from boardgen.rf.response import predict
from boardgen.spec.load import read_text
from tests.evidence import loss
from tests.rf.rf_boards import FED, catalogue, design, text, wires_ohm

BARE = 'braid_breakers = "none"\n'


FLOATING_OHM = 1e6
"""In the place of the coax behind each braid, so that no common mode takes part where the hand formula knows none."""


NAMED = '[parts]\nrelay = "relay-tq2-12"\n'


def prediction(antennas, switching="", more="", measured=None, protection=""):
    """The prediction of a board of these lines, its copper left out."""
    design = make_design(
        Request(read_text(text(antennas, switching, protection) + more), catalogue(), measured=measured or {})
    )
    return replace(design.prediction, parasitics=Parasitics((), {}))


def figure(predicted, quantity, frequency_hz, common_mode_ohm=None):
    """With the first antenna selected, read there, or at the second where it is one of an idle antenna."""
    solved = replace(predicted.network, common_mode_ohm=common_mode_ohm or predicted.network.common_mode_ohm)
    response = predict(predicted.request.spec, solved, np.array([float(frequency_hz)]))
    first, *rest = predicted.network.antennas
    port = rest[0] if quantity in ("isolation", "idle common mode") else first
    return float(response.by_place[quantity, first, port].values[0])


@pytest.mark.parametrize(("ohm", "henry"), [(0.5, 1e-10), (5.0, 1e-10), (0.001, 1e-6), (3.0, 0.5e-6)])
def test_series_loss(ohm, henry):
    """H4 with the contacts of centre and braid in the loop, at 2 MHz where strays are next to nothing: within 3 %."""
    own = f'{NAMED}[measured.relay]\ncontact_resistance = "{ohm} ohm"\ncontact_inductance = "{henry * 1e9:g} nH"\n'
    none = f'{NAMED}[measured.relay]\ncontact_resistance = "0.1 mohm"\ncontact_inductance = "0.1 nH"\n'
    through, still = (prediction(["", ""], BARE, more, protection="surge = false") for more in (own, none))
    losses = [figure(p, "insertion loss", 2e6, FLOATING_OHM) for p in (through, still)]
    series = 2 * complex(ohm, 2 * math.pi * 2e6 * henry)
    assert losses[0] - losses[1] == pytest.approx(loss.series_insertion_loss_db(series, 75), rel=0.03, abs=2e-4)


@pytest.mark.parametrize(
    ("choke_ohm", "tolerance"), [(200 + 0j, 0.01), (2000 + 0j, 0.01), (20 + 120j, 0.06), (20 - 120j, 0.06)]
)
def test_shunt_loss(choke_ohm, tolerance):
    """H3 with a feed choke of known impedance across the antenna's line.

    A reactance meets what little of the other sign lies in series with it, and is held less tightly.
    """
    losses = [
        figure(
            prediction(
                [FED, ""],
                BARE + 'feed_arrangement = "plain"',
                measured={"choke": tuple((f, ohm) for f in (100e3, 30e6))},
            ),
            "insertion loss",
            4e6,
        )
        for ohm in (choke_ohm, 1e7 + 0j)
    ]
    by_hand = loss.shunt_insertion_loss_db(choke_ohm, 75)
    assert losses[0] - losses[1] == pytest.approx(by_hand, rel=tolerance)


@pytest.mark.parametrize("frequency_hz", [0.2e6, 0.4e6, 0.9e6, 1.8e6])
def test_same_winding_further_down(frequency_hz):
    """The loss of both transformers as the permeability table says, by H3 with both in parallel: within 5 %."""
    whole = design("default").prediction
    table = catalogue().permeability["73"]
    turns = {p.value for e in whole.network.elements for p in e.parameters if p.name == "second turns"}
    constant = {p.value for e in whole.network.elements for p in e.parameters if p.name == "path constant"}
    assert len(turns) == len(constant) == 1
    winding_ohm = (
        2j * math.pi * frequency_hz * 4e-7 * math.pi * constant.pop() * turns.pop() ** 2 * table.at(frequency_hz)
    )
    series_db = loss.series_insertion_loss_db(0.16 + wires_ohm(design("default"), frequency_hz), 75)
    by_hand = loss.shunt_insertion_loss_db(winding_ohm / 2, 75) + series_db
    assert figure(whole, "insertion loss", frequency_hz) == pytest.approx(by_hand, rel=0.05)


def test_lower_band_with_the_same_winding_loses_more():
    """Each step down below the frequency where the loss of mix 73 itself is highest."""
    losses = [figure(design("default").prediction, "insertion loss", f) for f in (0.6e6, 0.4e6, 0.3e6, 0.2e6)]
    assert losses == sorted(losses)
    assert losses[-1] > 2 * losses[0]


@pytest.mark.parametrize("key", ["open_contact_capacitance", "through_capacitance"])
@pytest.mark.parametrize(
    ("farads", "frequency_hz"), [(0.1e-12, 3.5e6), (0.5e-12, 1.8e6), (1e-12, 3.5e6), (2e-12, 3.5e6)]
)
def test_open_contact(key, farads, frequency_hz):
    """H4 for an open contact in each of centre and braid, half the capacitance in the loop: within 1 dB."""
    own = f'{NAMED}[measured.relay]\n{key} = "{farads * 1e12:g} pF"\n'
    opened = prediction(["", ""], BARE + 'idle = "open"\nbus_braid = "floating"', own, protection="surge = false")
    change = figure(opened, "isolation", frequency_hz) - figure(opened, "isolation", 2 * frequency_hz)
    assert change == pytest.approx(20 * math.log10(2), abs=0.3)
    by_hand = loss.isolation_db(farads / 2, frequency_hz, 75)
    assert figure(opened, "isolation", frequency_hz) == pytest.approx(by_hand, abs=1)


def test_plain_feed_is_half_its_choke():
    """Common mode through the plain feed: the chokes of centre and braid side by side, within 12 %."""
    plain = prediction([FED, ""], 'feed_arrangement = "plain"')
    part = next(c.part for c in plain.netlist.of_kind("choke"))
    henry, resonance_hz = part.figures["inductance"].value, part.figures["self resonance"].value
    farads = reactance.resonant_capacitance(henry, resonance_hz)
    for frequency_hz in (0.5e6, 1e6):
        omega = 2 * math.pi * frequency_hz
        choke_ohm = omega * henry / (1 - omega * omega * henry * farads)
        assert figure(plain, "common-mode impedance", frequency_hz) == pytest.approx(choke_ohm / 2, rel=0.12)
        for arrangement in ("local rail", "common-mode choked"):
            repaired = prediction([FED, ""], f'feed_arrangement = "{arrangement}"')
            assert figure(repaired, "common-mode impedance", frequency_hz) > 3 * choke_ohm / 2


@pytest.mark.parametrize("frequency_hz", [1.8e6, 3.5e6])
def test_two_relays_beat_one(frequency_hz):
    """A second open contact behind an idle port that is ended adds at least 40 dB at these frequencies."""
    one, two = (prediction(["", ""], f"relays_in_series = {n}") for n in (1, 2))
    assert figure(two, "isolation", frequency_hz) > figure(one, "isolation", frequency_hz) + 40
