"""Third-order products of two signals in an amplifier."""

from boardgen.handbook import require


def third_order_dbm(twice_dbm: float, once_dbm: float, input_intercept_dbm: float) -> float:
    """The product at 2 f1 - f2, as a signal of so many dBm at the amplifier's input.

    2 P1 + P2 - 2 IIP3: two equal signals at the intercept make a product as strong as they are.

    Parameters
    ----------
    twice_dbm : the signal whose frequency counts twice, at the input
    once_dbm : the other
    input_intercept_dbm : third-order intercept at the input: that at the output less the gain

    Raises ValueError unless all are finite.

    Source: definition of the intercept (textbook, recalled); holds well below compression.

    """
    require.finite(twice_dbm=twice_dbm, once_dbm=once_dbm, input_intercept_dbm=input_intercept_dbm)
    return 2 * twice_dbm + once_dbm - 2 * input_intercept_dbm
