"""What cannot be built: the message says what limits and what would do."""

import re

import pytest

from boardgen.model.problem import InputError
from tests.sizing.sized_boards import sized, text


def shortfalls(specification):
    _, choices = sized(specification)
    return {p.id[:4]: p.sentence for p in choices.problems if p.severity == "shortfall"}


@pytest.mark.slow
def test_three_hundred_to_one_of_bandwidth():
    """100 kHz to 30 MHz at 75 ohm: leakage and wire limit; a narrower band or two boards would do."""
    said = shortfalls(text("100 kHz", "30 MHz"))["V101"]
    assert "100 kHz to 30 MHz at 75 ohm" in said
    assert re.search(r"leakage leaves [0-9.]+ ohm at the top, (7.5|60.0) are allowed", said)
    assert re.search(r"holds to [0-9.]+ MHz", said)
    assert "two boards can share the band" in said
    assert "V101" not in shortfalls(text("100 kHz", "10 MHz"))


def test_two_kilometres_of_24_awg():
    """What is told as the longest cable works, and a metre more does not."""

    def of(**control):
        return shortfalls(text(control=control, parts={"relay": "relay-tq2-12"}))

    said = of(length="2 km")["V150"]
    assert "V are left at the coil of TQ2-12V over 2000 m of 24 AWG" in said
    assert "More returns, thicker conductors, a higher supply" in said
    metres = int(said.split("It works up to ")[1].split(" m")[0])
    assert not of(length=f"{metres - 1} m")
    assert "V150" in of(length=f"{metres + 1} m")
    assert not of(length="2 km", cable="1.5 mm2")


def test_a_feed_of_one_ampere():
    said = shortfalls(text(ports={0: {"feed": "12 V 1 A"}}))
    assert "the largest fuse on offer, MF-R050, holds 354 mA at the hottest; 1000 mA are needed" in said["V180"]
    assert "lower the feed current" in said["V180"]
    assert "More returns, thicker conductors or a higher supply" in said["V181"]
    assert "coil" in said["V150"]


def test_a_choke_that_no_current_passes():
    said = shortfalls(text(ports={0: {"feed": "12 V 1.9 A"}}))["V110"]
    assert "no choke on offer carries 1.9 A" in said
    assert "Lower the feed current" in said


def test_a_feed_above_the_supply():
    """No cable is short enough: the message does not praise thicker conductors."""
    said = shortfalls(text(ports={0: {"feed": "24 V 10 mA"}}))["V181"]
    assert "21.60 V are needed" in said
    assert "Not even a cable of no length would do" in said
    assert "raise the lowest supply" in said
    assert "thicker" not in said


def test_nine_lines_on_eight_conductors():
    said = shortfalls(text(antennas=8))["V170"]
    assert "8 select + 1 0V make 9 lines, the cable has 8 conductors" in said
    assert "control.cables = 2" in said
    assert not shortfalls(text(antennas=8, control={"cables": 2}))


def test_nine_lines_with_feeds_of_their_own():
    """Four ways, four feeds, one return: two cables or a shared feed."""
    ports = {n: {"feed": "12 V 20 mA"} for n in range(4)}
    said = shortfalls(text(antennas=4, ports=ports))["V170"]
    assert "4 select + 4 feed + 1 0V make 9 lines" in said
    assert 'switching.feed_lines = "shared"' in said
    assert "V170" not in shortfalls(text(antennas=4, ports=ports, switching={"feed_lines": "shared"}))


def test_a_coil_of_24_v():
    with pytest.raises(InputError) as refused:
        sized(text(control={"coil": "24 V", "supply": "24 V"}))
    [problem] = refused.value.problems
    assert problem.place.key == "control.coil"
    assert "no relay on offer has a 24 V coil" in problem.found
    assert "(12 V)" in problem.hint
    assert "add the part" in problem.hint


def test_a_supply_below_the_coil():
    said = shortfalls(text(control={"supply": "9 V"}))["V150"]
    assert "Not even a cable of no length would do: raise the lowest supply" in said


def test_a_core_without_a_table_that_low():
    """The table of mix 61 begins at 1 MHz."""
    with pytest.raises(InputError, match=r"no core on offer has a permeability table from 0\.137 to 2 MHz"):
        sized(text("137 kHz", "2 MHz", parts={"core": "core-61-202"}))


def test_surroundings_outside_the_relays_range_are_said() -> None:
    _, choices = sized(text(control={"hottest": "85 degC", "coldest": "-50 degC", "length": "20 m"}))
    found = [p for p in choices.problems if p.id == "V153 temperature"]
    assert [p.severity for p in found] == ["warning", "warning"]
    assert "70 degC" in found[0].found
