"""The design rules of sizing, as numbers with their reasons."""

from __future__ import annotations

REACTANCE_RATIO = 12.0
"""Least parallel reactance of a winding over Z0: with two windings in the path, return loss stays near 20 dB."""
LOSS_RATIO = 15.0
"""Least parallel loss resistance of a winding over Z0: about 0.29 dB a transformer."""
THUMB_RATIO = 5.0
"""The old rule of thumb for a winding's reactance over Z0, shown beside the rule: two give 14 dB return loss."""
LEAKAGE_RATIO = 0.1
"""Most leakage reactance over Z0 at the top of the band."""
COMPENSATED_LEAKAGE_RATIO = 0.8
"""The same where a capacitor at each end meets it: a quarter more leakage than computed then leaves 15 dB each."""
JUDGED_LEAKAGE_RATIO = COMPENSATED_LEAKAGE_RATIO
"""The same where the capacitors are left out, since prediction finds that the match holds without them."""
RATIO_RETURN_LOSS_DB = 30.0
"""Least return loss that rounding a turns ratio may leave."""
WIRE_FILL = 0.4
"""Share of a hole that wire may fill and still be wound by hand: common practice, no source."""
CHOKE_LOWEST_RATIO = 15.0
"""Least impedance of a feed choke over Z0 at the lowest frequency."""
CHOKE_BAND_RATIO = 8.0
"""Least impedance of a feed choke over Z0 anywhere in the band."""
BLOCKING_RATIO = 1 / 20
"""Most reactance of a blocking capacitor over Z0 at the lowest frequency."""
RAIL_REACTANCE_OHM = 1.0
"""Most reactance from a feed rail to its return at the lowest frequency."""
BYPASS_REACTANCE_OHM = 10.0
"""Most reactance of a coil bypass at the lowest frequency."""
ATTENUATION_SHARE = 0.05
"""By which share of its loss a step of the attenuator may be off with nominal resistors."""
ATTENUATOR_RETURN_LOSS_DB = 30.0
"""Least return loss of a step, worst of its resistors' tolerances."""
BLEEDER_RATIO = 1000.0
"""Least bleeder over Z0."""
BLEEDER_COMMON_MODE_RATIO = 10.0
"""Least bleeder over the common-mode target, so that it costs under a tenth of it."""
SURGE_CAPACITOR_V = 250.0
"""Least rated voltage of a signal-path capacitor behind a gas tube: 100 to 300 V are estimated there."""
CAPACITOR_VOLTAGE_RATIO = 1.5
"""Least rated voltage of a capacitor over the highest direct voltage across it."""
FEED_SHARE = 0.9
"""Least voltage at a port over the voltage asked for: equipment is commonly specified to -10 %."""
FEED_MOST_SHARE = 1.25
"""Most voltage at a port over the voltage asked for: 15 V on 12 V, as off a charging battery; assumed."""
INDICATOR_A = 2e-3
"""Current of an indicator lamp: bright enough indoors, small beside a coil."""
SURGE_CURRENT_A = 5e3
"""Peak 8/20 us current that surge copper must carry: half of a common tube's rating, an assumed figure."""
TRACK_RISE_K = 10.0
"""Temperature rise of a track at its current."""
COPPER_M = 35e-6
"""Copper thickness of an ordinary board."""
LEAST_TRACK_M = 0.3e-3
LEAST_CLEARANCE_M = 0.2e-3
"""Easy for any board house and for hand soldering: common practice, no source."""
DESIGN_RULE = "design rule of this program"
