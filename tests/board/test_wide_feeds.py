"""Tracks wider than a millimetre, for the feeds of many antennas on one line, keep off the copper of the next cell."""

from __future__ import annotations

import pytest

from tests.board.boards import made_text

ANTENNA = """
[[antenna]]
label = "way {}"
feed = "12 V 200 mA"
braid_breaker = {}
"""
BOARD = """
title = "wide feeds"
revision = "A"

[band]
lowest = "1.8 MHz"
highest = "10.15 MHz"
impedance = "75 ohm"
region = 1
{antennas}
[output]
feed = "12 V 200 mA"

[switching]
idle = "open"
braid_breakers = "output"
feed_arrangement = "common-mode choked"
feed_lines = "shared"

[protection]
surge = {surge}

[control]
indicators = true
length = "50 m"
conductors = 60
returns = 2
"""


@pytest.mark.slow
@pytest.mark.parametrize("surge", ["true", "false"])
@pytest.mark.parametrize("ways", [12, 13])
def test_wide_feed_tracks_touch_nothing(ways: int, surge: str) -> None:
    antennas = "".join(ANTENNA.format(number, str(number % 5 == 0).lower()) for number in range(1, ways + 1))
    layout, _, rules = made_text(BOARD.format(antennas=antennas, surge=surge))
    assert rules.feed_nm >= 1_200_000
    assert layout.faults == ()
