"""Reasons print the number of the rule that was applied, not a copy of it."""

from __future__ import annotations

import pytest

from boardgen.sizing import cable_choices, diode, feed_line, rules, surge
from tests.sizing.sized_boards import sized, text

PORTS = {0: {"feed": "12 V 60 mA"}}
RULES = (
    (rules, "REACTANCE_RATIO", 8.5, "winding reactance", "X_p = (R^2 + X^2)/X >= 8.5 Z0"),
    (rules, "LOSS_RATIO", 9.5, "winding loss resistance", "R_p = (R^2 + X^2)/R >= 9.5 Z0"),
    (rules, "THUMB_RATIO", 4.5, "winding inductance", "w L >= 4.5 Z0"),
    (rules, "COMPENSATED_LEAKAGE_RATIO", 0.5, "leakage reactance", "w L_leak <= Z0/2"),
    (rules, "WIRE_FILL", 0.35, "winding wire", "passes x d^2 <= 0.35 x hole^2"),
    (rules, "CHOKE_LOWEST_RATIO", 14.5, "choke", "|Z| >= 14.5 Z0"),
    (rules, "CHOKE_BAND_RATIO", 7.5, "choke impedance", "|Z| >= 7.5 Z0"),
    (rules, "BLOCKING_RATIO", 1 / 16, "blocking capacitor", "X <= Z0/16"),
    (rules, "BYPASS_REACTANCE_OHM", 12.0, "bypass capacitor", "|X| <= 12 ohm"),
    (rules, "CAPACITOR_VOLTAGE_RATIO", 1.25, "capacitor voltage", "rated >= 1.25 x direct voltage"),
    (rules, "BLEEDER_RATIO", 900.0, "bleeder", "R >= 900 Z0"),
    (rules, "FEED_SHARE", 0.85, "feed voltage", "less 15 %"),
    (cable_choices, "FUSE_RATIO", 1.25, "cable fuse", "rating >= 1.25 x steady current"),
    (diode, "REVERSE_RATIO", 1.25, "series diode", "reverse voltage >= 1.25 x supply"),
    (feed_line, "FUSE_DERATING_PER_K", 0.005, "feed fuse", "(1 - 0.005 (T - 23))"),
    (surge, "SPARK_RATIO", 1.1, "surge tube", "nominal less tolerance >= 1.1 x direct voltage"),
)


@pytest.mark.parametrize(("module", "name", "number", "role", "said"), RULES)
def test_a_changed_rule_is_printed_as_it_was_applied(
    monkeypatch: pytest.MonkeyPatch, module: object, name: str, number: float, role: str, said: str
) -> None:
    _, before = sized(text(antennas=2, ports=PORTS))
    told = [f"{c.formula}; {c.basis}" for c in before.values if c.role == role]
    assert told
    assert not any(said in reason for reason in told)
    monkeypatch.setattr(module, name, number)
    _, after = sized(text(antennas=2, ports=PORTS))
    assert any(said in f"{c.formula}; {c.basis}" for c in after.values if c.role == role)
