"""The proof: exactly the wanted relays operate, no diode is superfluous, and faults do what by hand they must."""

import re
from types import SimpleNamespace
from typing import get_args

import pytest
from msgspec.structs import replace

from boardgen.direct_current.changes import holds
from boardgen.direct_current.elements import Resistor
from boardgen.direct_current.solve import solve
from boardgen.model.selection import ControlLine
from boardgen.station.board_network import MeterPoint
from boardgen.station.corners import Corner
from boardgen.station.faults import Kind, single_faults
from boardgen.station.network import ZERO, state
from boardgen.station.proof import Proof, prove, short_loads, sound_readings
from boardgen.station.readings import PointReading
from boardgen.station.states import REST, cases, settled
from boardgen.station.steering import Joint
from tests.station.made_stations import box_design, random_station, station

NOMINAL = Corner("nominal", 20.0, 13.6, "typical")
SHORT = {"length": "30 m", "conductors": 24, "returns": 2}


def two_of_four(**options):
    source = options.pop("source", {})
    boxes = [(name, box_design(4, **options), SHORT) for name in ("dune", "heath")]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name, *_ in boxes for n in range(1, 5)]
    return station(boxes, directions, source={"outputs": 8, **source}, rest="dune")


@pytest.mark.parametrize("seed", range(14))
def test_exactly_the_wanted_relays_operate(seed):
    """Random plans with short cables and a high supply, at every extreme: no relay and no feed is wrong."""
    design = random_station(seed, longest_m=25, supply="14.2..14.6 V")
    readings = sound_readings(design.station, design.corners)
    assert len(readings) == len(design.corners) * len(cases(design.station)) * len({reading.at for reading in readings})
    assert [r for r in readings if not r.is_right] == []


@pytest.mark.parametrize("seed", [1, 2, 5, 12])
def test_no_diode_is_superfluous(seed):
    """Each one planted as a plain wire, then left out: a wrong relay operates, or a wanted one fails."""
    sound = random_station(seed, longest_m=25, supply="14.2..14.6 V").station
    planted = 0
    for joint in sound.steering.diodes[:4]:
        others = tuple(j for j in sound.steering.joints if j != joint)
        for joints in ((*others, Joint(joint.output, joint.load, diode=False)), others):
            changed = replace(sound, steering=replace(sound.steering, joints=joints))
            assert any(not r.is_right for r in sound_readings(changed, [NOMINAL])), joint
            planted += 1
    assert planted >= 2 * min(1, len(sound.steering.diodes))


def test_two_boxes_of_four_on_eight_outputs():
    """Common practice, no source: nothing is on at rest; the other feeder's relay has one diode for each line."""
    design = two_of_four()
    steering = design.station.steering
    assert len(steering.outputs) == 8
    assert [str(j.load) for j in steering.diodes] == ["feeder heath"] * 4
    for case in cases(design.station)[1:]:
        assert len(case.on) == 1
    # one line a relay against a common return
    for cable in design.station.cables.values():
        assert sum(len(c.loads) for c in cable.conductors) == 4
        assert sum(c.is_return for c in cable.conductors) == 2


def test_volts_by_hand():
    """30 m of 24 AWG at 20 degC, 13.6 V, diodes of 0.25 V in the box and 0.67 V to the selector; 1028 ohm coils."""
    design = two_of_four()
    readings = {(r.case, str(r.at)): r.volts for r in sound_readings(design.station, [NOMINAL])}
    conductor = 0.0938 * 30
    coil = 1028 * 0.9
    warm = coil * (1 + 0.00393 * 150 * 13.6**2 / 1028)
    by_hand = (13.6 - 0.26) / (1 + (1 + 1 / 2) * conductor / warm)
    assert readings["dune 1", "dune K1 (way 1)"] == pytest.approx(by_hand, abs=0.03)
    assert readings["heath 1", "selector K1 (heath)"] == pytest.approx(13.6 - 0.26 - 0.68, abs=0.03)
    assert readings[REST, "selector K1 (heath)"] == pytest.approx(0, abs=0.01)


def faults_of(design):
    return {f.name: f for f in prove(design.station, [NOMINAL]).faults}


def verdicts(fault):
    return {(r.case, str(r.at), r.verdict) for r in fault.wrong}


def test_what_faults_do():
    design = two_of_four()
    found = faults_of(design)
    assert {f.kind for f in found.values()} == set(get_args(Kind)) - {"plugs A and B"}
    lost = found["open return: dune, 0V altogether"]
    assert {(r.case, r.verdict) for r in lost.wrong} == {(f"dune {n}", "fails to operate") for n in range(1, 5)}
    shorted = found["shorted diode: steering diode 5 feeder heath"]
    assert verdicts(shorted) == {(f"heath {n}", "heath K1 (way 1)", "operates unwanted") for n in range(2, 5)}
    crossed = found["crossed conductors: dune, conductor 1 with conductor 2, select way 1 with select way 2"]
    assert verdicts(crossed) == {
        (f"dune {a}", f"dune K{n} (way {n})", verdict)
        for a, b in ((1, 2), (2, 1))
        for n, verdict in ((a, "fails to operate"), (b, "operates unwanted"))
    }
    wet = found["wet terminal: dune, select way 1 to select way 2"]
    # 13.6 V over 10 kohm and a coil: 1.1 V, which need not release a relay that was on
    assert {r.verdict for r in wet.wrong} == {"may not release"}
    assert all(0.9 < r.volts < 1.7 for r in wet.wrong)
    one_of_two = [f for f in found.values() if f.kind == "open return" and "altogether" not in f.name]
    assert len(one_of_two) == 4
    assert not any(f.wrong for f in one_of_two)


def test_what_open_shorted_and_welded_parts_do():
    """A line, a diode in it, a line on the spare: its relay alone is silent. Two that touch, or a welded one: both."""
    found = faults_of(two_of_four())
    silent = {("dune 4", "dune K4 (way 4)", "fails to operate")}
    for name in (
        "open conductor: dune, conductor 4, select way 4",
        "open diode: dune D8, series diode of way 4",
        "crossed conductors: dune, conductor 4 with conductor 5, select way 4 with spare",
    ):
        assert verdicts(found[name]) == silent
        assert found[name].sign.case == "dune 4"
        assert found[name].sign.fault_a == pytest.approx(0, abs=1e-5)
    assert not found["open diode: dune D7, flyback diode 1 of way 4"].wrong
    assert not found["open diode: dune D7, flyback diode 1 of way 4"].sign.shows
    touching = found["shorted conductors: dune, conductor 1 to conductor 2, select way 1 to select way 2"]
    assert verdicts(touching) == {
        (f"dune {a}", f"dune K{b} (way {b})", "operates unwanted") for a, b in ((1, 2), (2, 1))
    }
    # output 5 works way 1 of the heath and the selector: on at rest, beside each way of the dune, and beside its mates
    welded = found["welded output: output 5"]
    states = [REST, *(f"dune {n}" for n in range(1, 5))]
    assert verdicts(welded) == {
        *((state, "heath K1 (way 1)", "operates unwanted") for state in (*states, "heath 2", "heath 3", "heath 4")),
        *((state, "selector K1 (heath)", "operates unwanted") for state in states),
    }
    assert welded.sign.case == REST


def test_one_plug_of_either_order_changes_two_pairs_over():
    """Positions 1 and 3, 2 and 6: the orders of the standard differ in the pairs of orange and green."""
    boxes = [("dune", box_design(5), {"length": "30 m", "conductors": 8, "returns": 2})]
    design = station(boxes, [(f"{n}", f"dune/way {n}", None) for n in range(1, 6)])
    at = {c.place.position: c for c in design.station.cables["dune"].conductors}
    lines = {n: c.loads[0].strip for n, c in at.items() if c.loads}
    plugs = faults_of(design)["plugs A and B: dune"]
    works = {str(r.at): r.case for r in plugs.wrong if r.verdict == "operates unwanted"}
    expected = {}
    for here, there in ((1, 3), (3, 1), (2, 6), (6, 2)):
        if here in lines and there in lines:
            number = lines[there].removeprefix("way ")
            expected[f"dune K{number} ({lines[there]})"] = lines[here].removeprefix("way ")
    assert works == expected
    assert len(expected) >= 2


def test_a_fault_that_is_not_solved_again_changes_nothing():
    """Where the sound volts are taken to hold, solving the changed network gives the same at every coil."""
    design = two_of_four()
    kept = 0
    for case in cases(design.station)[::3]:
        sound, solution = settled(design.station, case, NOMINAL)
        for fault in single_faults(design.station, sound):
            if holds(solution, fault.change):
                again = solve(sound.network.changed(fault.change))
                for coil in sound.coils:
                    assert again.volts(coil.plus, coil.minus) == pytest.approx(
                        solution.volts(coil.plus, coil.minus), abs=1e-3
                    )
                kept += 1
    assert kept > 100


def test_an_open_return_sends_current_backwards():
    """The classic: the coil's current looks for another way home, through other coils and their flyback diodes.

    Without a diode in each line it lifts every line of the box; with one nothing but its leakage comes through.
    """
    lifted = {}
    for reverse in (False, True):
        design = two_of_four(reverse=reverse)
        case = next(c for c in cases(design.station) if c.name == "dune 1")
        sound = state(design.station, case, NOMINAL)
        fault = next(f for f in single_faults(design.station, sound) if str(f.befell) == "dune, 0V altogether")
        gone = solve(
            sound.network.changed((*fault.change, Resistor("lamp at the source", "line dune way 2", ZERO, 1e3)))
        )
        lifted[reverse] = gone.potential("line dune way 2")
    assert lifted[False] > 3
    assert lifted[True] < 0.5


@pytest.mark.parametrize(
    "source",
    [
        {"together": True, "outputs": 9},
        {"kind": "manual switch", "outputs": 9},
        {"kind": "manual switch", "outputs": 9, "poles": 2},
        {"diodes": "boxes", "outputs": 8},
    ],
)
def test_other_sources_work_the_same_relays(source):
    design = two_of_four(source=source)
    assert all(r.is_right for r in sound_readings(design.station, design.corners))
    assert len(design.station.steering.diodes) == (4 if source.get("poles", 1) == 1 and "together" not in source else 0)


def test_a_load_behind_two_diodes_gets_one_of_its_own_where_volts_are_short():
    """The pair's second output works the feeder through its first: one diode fewer, until the supply is too low."""
    boxes = [("dune", box_design(2), SHORT), ("heath", box_design(2, 1), SHORT)]
    directions = [
        ("d", "dune/way 1", None),
        ("e", "heath/way 1", None),
        ("f", "heath/way 1", "s"),
        ("g", "heath/way 2", None),
    ]
    counts = {}
    for supply in ("13.2..14.0 V", "12.45..14.0 V"):
        made = station(
            boxes, directions, source={"supply": supply}, rest="dune", remotes=[("s", "heath/way 1")]
        ).station
        counts[supply] = len(made.steering.diodes)
    assert counts == {"13.2..14.0 V": 3, "12.45..14.0 V": 4}


def test_reach_is_where_volts_just_suffice():
    boxes = [("dune", box_design(3), {"length": "300 m", "conductors": 8})]
    made = station(boxes, [(str(n), f"dune/way {n}", None) for n in range(1, 4)])
    found = made.reaches["dune"]
    assert found.longest_m > 300
    for length, right in ((found.longest_m * 0.99, True), (found.longest_m * 1.01, False)):
        again = station(
            [("dune", box_design(3), {"length": f"{length:.2f} m", "conductors": 8})],
            [(str(n), f"dune/way {n}", None) for n in range(1, 4)],
        )
        assert all(r.is_right for r in sound_readings(again.station, again.corners)) == right
        assert bool(again.problems) != right
        if not right:
            assert again.problems[0].id == "P040 too few volts"
            assert "It works up to" in again.problems[0].hint


def test_rounding_does_not_choose_the_worst_of_equals():
    volts, at = {"first": 0.2, "second": 0.2 + 1e-14, "third": 0.1}, MeterPoint("dune", "way 1", "K1")
    readings = tuple(PointReading(case, "hottest", at, v, False, 9.0, 1.0) for case, v in volts.items())
    assert Proof(readings, (), 0.1, ()).worst(at, wanted=False).case == "first"


@pytest.mark.parametrize("far", ["dune east", "heath"])
def test_a_box_is_not_told_by_the_beginning_of_another_ones_name(far):
    """The box at the end of 1500 m has too few volts; what is said of it does not hang on what it is called."""
    boxes = [("dune", box_design(2), SHORT), (far, box_design(2), {**SHORT, "length": "1500 m"})]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name, *_ in boxes for n in (1, 2)]
    design = station(boxes, directions, source={"outputs": 4}, rest="dune")
    assert {p.id for p in design.problems} == {"P040 too few volts"}
    assert {p.place.key for p in design.problems} == {"box[2].control"}
    assert {p.found.split(" K")[0] for p in design.problems} == {far}
    reach = design.reaches[far]
    assert reach.at.board == far
    assert reach.longest_m < 1500
    assert all(
        f"It works up to {reach.longest_m:.0f} m, or {reach.thinnest_awg} AWG" in p.hint for p in design.problems
    )
    assert reach.thinnest_awg < 24
    assert {load.box for load in short_loads(design.station, design.corners)} == {far}


def test_a_line_of_a_stage_is_said_to_want_a_switch_of_its_own():
    """No direction works it; the lines of the other box are all steered."""
    plain = box_design(2)
    own = (*plain.netlist.control_lines, ControlLine("pad", "output", "pad"))
    netlist = replace(plain.netlist, control_lines=own)
    padded = SimpleNamespace(spec=plain.spec, netlist=netlist, choices=plain.choices, catalogue=plain.catalogue)
    boxes = [("dune", plain, SHORT), ("heath", padded, SHORT)]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name, *_ in boxes for n in (1, 2)]
    design = station(boxes, directions, source={"outputs": 4}, rest="dune")
    [said] = design.problems
    assert (said.id, said.severity, said.place.key) == ("P043 line not steered", "warning", "box[2].control")
    assert '"pad" of heath' in said.found


def test_a_supply_that_coils_and_ports_do_not_bear_falls_short():
    """The plan's own supply is judged, whatever the box's specification says of its."""
    directions = [("1", "dune/way 1", None), ("2", "dune/way 2", None)]
    usual, high = (
        station([("dune", box_design(2, 1), {})], directions, source={"supply": supply})
        for supply in ("13.2..14.0 V", "24 V")
    )
    assert [p for p in usual.problems if p.id == "P044 too many volts"] == []
    said = [p for p in high.problems if p.id == "P044 too many volts"]
    assert len(said) == 2
    assert "the supply may reach 24.0 V at the coils of dune" in said[0].found
    assert "dune way 1" in said[1].found
    assert all(p.severity == "shortfall" for p in said)


def test_what_is_fed_draws_in_a_station_what_it_draws_on_a_lone_board():
    """Over the cable at which the lone board just has its volts at the port, the station has them too, and no more.

    A lone board takes its coils at what they draw without a cable: a thirtieth of a volt more is left in the station.
    """
    directions = [("1", "dune/way 1", None), ("2", "dune/way 2", None)]
    box = box_design(2, 1, choke="choke-rh0912-150uh")
    longest = next(c.achieved for c in box.choices.values if c.role == "longest cable")
    design = station([("dune", box, {"length": f"{longest:.1f} m"})], directions)
    left = [r.volts for r in sound_readings(design.station, design.corners) if r.wanted and not r.at.ref]
    assert min(left) == pytest.approx(0.9 * 12, abs=0.035)
    assert min(left) > 0.9 * 12
    assert design.reaches["dune"].longest_m == pytest.approx(longest, rel=0.05)


def test_what_leaks_through_a_driver_lifts_the_coils_of_idle_lines():
    """2 mA through an output that is off lift its coil of a kilohm by two volts; a little of that does not."""
    quiet, leaky = (
        two_of_four(source={"kind": "high-side driver", "leakage": leakage}) for leakage in ("10 uA", "2 mA")
    )
    volts = {
        name: {str(r.at): r.volts for r in sound_readings(design.station, [NOMINAL]) if r.case == REST}
        for name, design in (("quiet", quiet), ("leaky", leaky))
    }
    # the leakage is stated at the highest supply, 14.0 V, as through a resistance: 13.6 V behind 7 kohm and a coil
    coil_ohm = 1028 * 1.1
    assert volts["leaky"]["dune K1 (way 1)"] == pytest.approx((13.6 - 0.2) * coil_ohm / (7e3 + coil_ohm), abs=0.1)
    assert volts["quiet"]["dune K1 (way 1)"] == pytest.approx(0.01, abs=0.005)
    assert quiet.problems == ()
    assert {p.id for p in leaky.problems} == {"P041 sneak path"}


def test_an_output_that_carries_more_than_it_may_falls_short():
    """Output 5 works a relay of the heath and that of the selector, which draw 18 mA each in the cold."""
    design = two_of_four(source={"limit": "20 mA"})
    flows = design.output_flows
    assert flows[5] > 1.8 * flows[1] > 20e-3
    [problem] = [p for p in design.problems if p.id == "P046 output current"]
    assert problem.severity == "shortfall"
    assert re.search(r"output 5 carries 3\d\.?\d* mA, and 3 more carry too much; 20 mA are allowed", problem.sentence)
    assert two_of_four(source={"limit": "40 mA"}).problems == ()


@pytest.mark.parametrize("where", ["source end", "boxes"])
def test_open_drain_outputs_take_lines_to_0v(where):
    """The same relays as with contacts, over one conductor of plus and one a line; diodes the other way round."""
    design = two_of_four(drive="low side", source={"kind": "open drain", "diodes": where, "leakage": "10 uA"})
    assert design.problems == ()
    assert all(r.is_right for r in sound_readings(design.station, design.corners))
    for cable in design.station.cables.values():
        assert [c.what for c in cable.conductors if c.is_coil_supply] == ["coil supply"]
    volts = {(r.case, str(r.at)): r.volts for r in sound_readings(design.station, [NOMINAL])}
    conductor, warm = 0.0938 * 30, 1028 * 0.9 * (1 + 0.00393 * 150 * 13.6**2 / 1028)
    assert volts["dune 1", "dune K1 (way 1)"] == pytest.approx((13.6 - 0.26) / (1 + 2 * conductor / warm), abs=0.03)
    assert 'drive      = "low side"' in design.selector_text
    found = faults_of(design)
    [lost] = [f for name, f in found.items() if name.startswith("open conductor: heath") and "coil supply" in name]
    assert {(r.case, r.verdict) for r in lost.wrong} == {(f"heath {n}", "fails to operate") for n in range(1, 5)}
    welded = found["welded output: output 5"]
    assert (REST, "selector K1 (heath)", "operates unwanted") in verdicts(welded)
