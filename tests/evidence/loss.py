"""Loss and isolation of one impedance across or along a line matched at both ends: what predictions are held against.

Source: two-port textbook (recalled), checked in test_loss.py.
"""

import math


def shunt_insertion_loss_db(shunt, z0_ohm):
    """20 log|1 + Z0/(2 Z)| of an impedance across the line."""
    return 20 * math.log10(abs(1 + z0_ohm / (2 * shunt)))


def series_insertion_loss_db(series, z0_ohm):
    """20 log|1 + Z/(2 Z0)| of an impedance along the line."""
    return 20 * math.log10(abs(1 + series / (2 * z0_ohm)))


def isolation_db(capacitance_f, frequency_hz, z0_ohm):
    """Of an open contact bridged by a capacitance alone; a sheet that quotes X over Z0 states 6 dB more."""
    return series_insertion_loss_db(1 / (2j * math.pi * frequency_hz * capacitance_f), z0_ohm)
