"""Common-mode impedance and rejection of a braid breaker.

Rejection here is the reduction of common-mode current when the device is inserted into its loop. Mode conversion,
the differential output for a common-mode input, is another quantity and needs measurement.
"""

import math

from boardgen.handbook import reactance, require


def impedance_ohm(capacitance_f: float, frequency_hz: float) -> complex:
    """Common-mode impedance in ohms of a breaker with `capacitance_f` farads between its windings.

    Purely capacitive: 1/(j 2 pi f C). Raises ValueError unless both arguments are finite and above zero.

    Source: circuit textbook (recalled).
    """
    return complex(0, -reactance.capacitive(frequency_hz, capacitance_f))


def rejection_db(common_mode_ohm: complex, loop_ohm: float) -> float:
    """Reduction in dB of common-mode current when `common_mode_ohm` enters a loop of resistance `loop_ohm`.

    20 log|1 + Z/R|, where R is the whole resistance of source and load. Raises ValueError when the impedance is
    not finite or of negative resistance, or `loop_ohm` is not a finite number above zero.

    Source: circuit textbook (recalled).
    """
    require.passive(common_mode_ohm=common_mode_ohm)
    require.positive(loop_ohm=loop_ohm)
    return 20 * math.log10(abs(1 + common_mode_ohm / loop_ohm))
