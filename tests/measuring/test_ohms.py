"""A table of ohms of a small board: written, read back, damaged, and read of boards with planted faults.

The readings are solved anew on the whole board, with all parts at one end of their tolerances; that the fault table's
own readings are right is held by other tests.
"""

import math
from functools import cache

import pytest
from msgspec.structs import replace

from boardgen.direct_current.between import resistances_between
from boardgen.documents.measured import Measured, ohms_csv, verdict
from boardgen.measuring.ohms import MeterReading, Point, meter_of, read_ohms
from boardgen.measuring.suspects import Next, every_fault, suspects
from boardgen.model.problem import InputError
from tests.measuring.test_measured import board


@cache
def meter():
    return meter_of(board()[0])


def read(fault=None, grade="middle", stuck=frozenset()):
    """What a meter shows at every point that no diode lies between, with all parts at that end of their tolerances."""
    bench, _ = board()
    found = []
    for test, points in zip(meter().tests, meter().points, strict=True):
        for point in points:
            state = point.reading.selection
            probe = next(p for p in test.states[state] if p.where == point.reading.where)
            if not probe.through_diode:
                network = bench.network(state.operated - stuck, grade)
                network = network.changed(fault.change) if fault else network
                found.append(MeterReading(point, resistances_between(network, [(probe.a, probe.b)])[0]))
    return tuple(found)


def judged(readings):
    bench, network = board()
    return suspects(bench, network, (), meter(), readings)


def planted(ref, words):
    return next(f for f in every_fault(board()[0]) if f.refs == (ref,) and words in f.name)


@pytest.mark.parametrize("grade", ["low", "high"])
def test_a_sound_board_is_not_accused(grade):
    readings = read(grade=grade)
    assert all(one.inside for one in readings)
    assert judged(readings).is_sound


@pytest.mark.parametrize(
    ("ref", "words", "grade"),
    [("C12", "short", "low"), ("D9", "short", "high")],
)
def test_a_fault_of_direct_current_is_the_first_suspect(ref, words, grade):
    fault = planted(ref, words)
    found = judged(read(fault, grade))
    assert found.suspects[0].explains
    assert fault in found.suspects[0].faults


def test_what_a_meter_cannot_tell_apart_is_left_to_a_sweep():
    """Touching windings leave what a shorted choke of the feed leaves, within the tolerances of the parts."""
    fault = planted("T1", "windings touch")
    found = judged(read(fault, "high"))
    assert any(fault in suspect.faults and suspect.explains for suspect in found.suspects[:2])
    assert isinstance(found.next, Next)
    assert found.next.differs_db > 1


def test_what_no_fault_explains_is_said():
    """Two ports with a fault each."""
    both = replace(planted("C12", "short"), change=(*planted("C12", "short").change, *planted("D9", "short").change))
    readings = read(both)
    found = judged(readings)
    said = verdict(Measured(board()[0].request.spec, (), found, read=readings))
    assert any("no single fault explains it" in line for line in said)


def test_the_next_reading_tells_the_first_two_apart():
    """With one reading left the rest is open; the point that is named splits the suspects."""
    fault = planted("C12", "short")
    outside = next(one for one in read(fault) if not one.inside)
    found = judged((outside,))
    first, other = (suspect for suspect in found.suspects[:2])
    assert first.explains
    assert other.explains
    assert isinstance(found.next, Point)
    under = {}
    for suspect in (first, other):
        readings = {one.point.key: one.ohm for one in read(suspect.faults[0])}
        under[suspect.title] = readings.get(found.next.key)
    assert len(set(under.values())) == 2


def test_the_table_is_read_back_as_it_was_written():
    points = meter().all_points
    readings = read()
    again = read_ohms(ohms_csv(points, readings).decode(), "ohms.csv", points)
    assert [one.point for one in again] == [one.point for one in readings]
    for one, other in zip(again, readings, strict=True):
        assert one.ohm == pytest.approx(other.ohm, rel=1e-3) or (math.isinf(one.ohm) and other.ohm > 20e6)


def test_every_fault_of_a_table_is_named_with_its_line():
    lines = ohms_csv(meter().all_points, read()).decode().splitlines()
    cells = lines[1].split(",")
    # a value that is none, a point that is not there, a state that is not there, a row twice
    lines[1] = lines[1].replace(f",{cells[-2]},", ",82 kvolt,")
    lines[2] = lines[2].replace("J1 braid", "J99 braid")
    lines[3] = lines[3].replace("nothing selected", "nothing chosen")
    with pytest.raises(InputError) as refused:
        read_ohms("\n".join([*lines, lines[5]]), "ohms.csv", meter().all_points)
    assert [problem.place.line for problem in refused.value.problems] == [2, 3, 4, len(lines) + 1]


def test_a_table_without_values_is_refused():
    with pytest.raises(InputError, match="no row has a value"):
        read_ohms(ohms_csv(meter().all_points).decode(), "ohms.csv", meter().all_points)
