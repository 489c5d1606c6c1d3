"""Random specifications for hypothesis, from sensible to absurd."""

from hypothesis import strategies as st

from tests.sizing.sized_boards import ARRANGEMENTS, CABLES, LINES, text

LOWEST = ("100 kHz", "137 kHz", "472 kHz", "1.8 MHz", "3.5 MHz", "7 MHz", "14 MHz", "29 MHz")
HIGHEST = ("2 MHz", "7.3 MHz", "10.15 MHz", "29.7 MHz", "30 MHz")
OHM = st.integers(25, 300)


@st.composite
def feeds(draw):
    return f"{draw(st.integers(1, 60))} V {draw(st.integers(1, 2000))} mA"


@st.composite
def ports(draw, breaker):
    keys = {}
    if draw(st.booleans()):
        keys["feed"] = draw(feeds())
    if breaker and draw(st.booleans()):
        keys["impedance"] = f"{draw(OHM)} ohm"
    return keys


@st.composite
def specifications(draw):
    """A specification that may ask for the impossible and may be inconsistent."""
    breakers = draw(st.sampled_from(("all", "antennas", "output", "none")))
    antennas = draw(st.integers(1, 6))
    low_v = draw(st.integers(3, 60))
    output = draw(ports(breakers in ("all", "output")))
    return text(
        draw(st.sampled_from(LOWEST)),
        draw(st.sampled_from(HIGHEST)),
        draw(OHM),
        antennas,
        {n: draw(ports(breakers in ("all", "antennas"))) for n in range(antennas)},
        output=output,
        switching={
            "relays_in_series": draw(st.integers(1, 2)),
            "idle": draw(st.sampled_from(("terminated", "open"))),
            "braid_breakers": breakers,
            "feed_arrangement": draw(st.sampled_from(ARRANGEMENTS)),
            "feed_lines": draw(st.sampled_from(LINES)),
        },
        protection={
            "surge": draw(st.booleans()),
            "earth_to_0v": draw(st.sampled_from(("gas tube", "linked", "open"))),
            "reverse": draw(st.booleans()),
        },
        control={
            "supply": f"{low_v}..{draw(st.integers(low_v, 60))} V",
            "drive": draw(st.sampled_from(("high side", "low side"))),
            "cable": draw(st.sampled_from((*CABLES, "40 AWG", "4 AWG"))),
            "conductors": draw(st.integers(5, 30)),
            "length": f"{draw(st.integers(1, 2000))} m",
            "returns": draw(st.integers(1, 4)),
            "hottest": f"{draw(st.integers(-20, 90))} degC",
            "coldest": f"{draw(st.integers(-60, 0))} degC",
            "indicators": draw(st.booleans()),
        },
        targets={"common_mode": draw(st.sampled_from(("3 kohm to 3.5 MHz", "1 Mohm", "100 kohm to 200 kHz", "1 ohm")))},
    )
