"""A whole specification: its values, its defaults, and all of its faults at once."""

import json
import os
import subprocess
import sys

import pytest

from boardgen.kinds import KIND
from boardgen.model.problem import InputError
from boardgen.spec.cable import Conductor
from boardgen.spec.load import load, read_text
from boardgen.spec.order_keys import SparesOf
from boardgen.spec.values import Feed, Range, Target
from tests.spec import bad
from tests.spec.good import FULL
from tests.spec.plain import dump

ROLES = [
    *("relay", "core", "output_core", "wire", "choke", "supply_choke", "bifilar_choke", "blocking_capacitor"),
    *("rail_capacitor", "surge_tube", "line_suppressor", "earth_tube", "flyback_diode", "series_diode", "terminal"),
    *("fuse", "indicator", "connector"),
]


def problems(text, overrides=None, name="board.toml"):
    with pytest.raises(InputError) as caught:
        read_text(text, name, overrides or {})
    return caught.value.problems


def test_every_key_is_read_into_si_units():
    spec = read_text(FULL)
    assert (spec.title, spec.revision) == ("Saltmarsh four-way", "B")
    assert (spec.band.lowest, spec.band.highest, spec.band.impedance, spec.band.region) == (1.8e6, 10.15e6, 50.0, 1)
    north, east = spec.antenna
    assert (north.label, north.feed, north.impedance, north.idle) == ("north", Feed(12.0, 0.06), 75.0, "open")
    assert (north.braid_breaker, north.surge, north.connector, north.fitted) == (True, False, "F", False)
    assert east.label == "east"
    assert dump(spec)["output"] == {
        "impedance": 75.0,
        "feed": {"voltage": 5.0, "current": 0.1},
        "braid_breaker": True,
        "connector": "BNC",
        "attenuator": [6.0, 10.0, 20.0],
    }
    assert dump(spec)["switching"] == {
        "relays_in_series": 2,
        "idle": "open",
        "braid_breakers": "output",
        "compensation": "all",
        "feed_arrangement": "common-mode choked",
        "refine": "all",
        "feed_lines": "shared",
        "bus_braid": "floating",
        "termination": "single",
        "extra_turns": 2,
        "rest": None,
    }
    assert dump(spec)["prefer"] == {"parts": "small"}
    assert dump(spec)["protection"] == {"surge": False, "earth_to_0v": "linked", "reverse": False}
    control = spec.control
    assert (control.coil, control.supply, control.drive) == (24.0, Range(26.0, 28.0), "low side")
    assert control.cable == Conductor("0.5 mm2", "area", area_m2=0.5e-6)
    assert (control.conductors, control.cables, control.returns, control.length) == (6, 2, 3, 180.0)
    assert (control.hottest, control.coldest, control.entry, control.indicators) == (60.0, -10.0, "studs", True)
    assert (spec.parts.pinned, spec.parts.keep) == ({"relay": "relay-x"}, "values.json")
    assert spec.targets.insertion_loss == Target(0.5, "dB")
    assert spec.targets.return_loss == Target(20.0, "dB", 7e6)
    assert spec.targets.isolation == Target(60.0, "dB", 3.5e6)
    assert spec.targets.common_mode == Target(5e3, "ohm", 1.8e6)
    assert (spec.order.boards, spec.order.spares, spec.order.currency) == (2, 0.15, "EUR")


def test_defaults():
    spec = read_text(bad.GOOD)
    assert json.dumps(dump(spec), indent=None) == json.dumps(
        {
            "title": "switch board",
            "revision": "A",
            "band": {"region": 2, "lowest": 1.8e6, "highest": 10.15e6, "impedance": 75.0},
            "antenna": [
                {
                    "label": "north",
                    "feed": None,
                    "impedance": None,
                    "idle": None,
                    "braid_breaker": None,
                    "surge": None,
                    "connector": "pigtail",
                    "fitted": True,
                }
            ],
            "output": {
                "impedance": None,
                "feed": None,
                "braid_breaker": None,
                "connector": "pigtail",
                "attenuator": [],
            },
            "switching": {
                "relays_in_series": 1,
                "idle": "terminated",
                "termination": "split",
                "braid_breakers": "all",
                "compensation": "where it helps",
                "extra_turns": 0,
                "feed_arrangement": "local rail",
                "refine": "parts",
                "feed_lines": "own",
                "bus_braid": "bonded",
                "rest": None,
            },
            "prefer": {"parts": "easy to build"},
            "protection": {"surge": True, "earth_to_0v": "gas tube", "reverse": True},
            "control": {
                "coil": 12.0,
                "supply": {"low": 13.2, "high": 14.0},
                "drive": "high side",
                "cable": {"text": "24 AWG", "kind": "gauge", "ohm_per_m_20c": None, "gauge": 24, "area_m2": None},
                "conductors": 8,
                "cables": 1,
                "length": 100.0,
                "returns": 1,
                "hottest": 50.0,
                "coldest": -30.0,
                "entry": "terminals",
                "indicators": False,
            },
            "parts": dict.fromkeys([*ROLES, "keep"]),
            "in_hand": (),
            "targets": {
                "insertion_loss": {"value": 0.8, "unit": "dB", "to_hz": None},
                "return_loss": {"value": 18.0, "unit": "dB", "to_hz": None},
                "isolation": {"value": 55.0, "unit": "dB", "to_hz": None},
                "common_mode": {"value": 3e3, "unit": "ohm", "to_hz": 3.5e6},
            },
            "feeder": {
                "cable": None,
                "length": 100.0,
                "second_cable": None,
                "second_length": 10.0,
                "environment": "rural",
                "antenna_gain": -20.0,
                "noise_figure": 12.0,
            },
            "amplifier": {"place": "none", "gain": None, "noise_figure": None, "intercept": None},
            "transmitter": (),
            "measured": {
                "core": None,
                "choke": None,
                "cable": None,
                "relay": {
                    "contact_resistance": None,
                    "contact_inductance": None,
                    "through_capacitance": None,
                    "open_contact_capacitance": None,
                    "pole_to_pole_capacitance": None,
                    "coil_to_contact_capacitance": None,
                    "coil_to_fixed_contact_capacitance": None,
                    "isolation": None,
                    "coil_isolation": None,
                    "isolation_source": None,
                    "isolation_impedance": 50.0,
                },
                "transformer": {
                    "turns": None,
                    "style": "apart",
                    "leakage": None,
                    "interwinding_capacitance": None,
                    "port_winding_inductance": None,
                },
            },
            "order": {"boards": 1, "spares": 0.1, "spares_of": dict.fromkeys(SparesOf.model_fields), "currency": "CAD"},
            "box": {"mounting": "back", "pitch": 0.02},
            "house": {"entry_panel": False},
            "documents": {"decimal": "point", "paper": "A4", "dimensions": "mm"},
        }
    )


def test_a_specification_is_a_frozen_value():
    assert read_text(FULL) == read_text(FULL, "other.toml")
    assert hash(read_text(FULL)) == hash(read_text(FULL))
    with pytest.raises(ValueError, match="frozen"):
        read_text(FULL).title = "x"


@pytest.mark.parametrize(("region", "lowest", "highest"), [(1, 1.81e6, 7.2e6), (2, 1.8e6, 7.3e6), (3, 1.8e6, 7.2e6)])
def test_band_names_give_the_edges_of_the_region(region, lowest, highest):
    text = f'[band]\nlowest = "160 m"\nhighest = "40m"\nregion = {region}\n{bad.ANTENNA}'
    band = read_text(text).band
    assert (band.lowest, band.highest) == (lowest, highest)
    assert all(isinstance(edge, float) for edge in (band.lowest, band.highest))


def test_all_faults_come_at_once_with_their_lines():
    text = """\
titel = "x"
[band]
lowest = "1,500 kHz"
highest = 10
impedance = "500 ohm"
[[antenna]]
label = "north"
feed = "12 V"
[[antenna]]
label = "North"
[control]
drive = "high"
hottest = "-40 degC"
[order]
boards = "2"
"""
    found = [(p.place.line, p.place.key, p.id[:4]) for p in problems(text)]
    assert found == [
        (1, "titel", "S004"),
        (3, "band.lowest", "S008"),
        (4, "band.highest", "S008"),
        (5, "band.impedance", "S008"),
        (8, "antenna[1].feed", "S008"),
        (10, "antenna[2].label", "S023"),
        (12, "control.drive", "S007"),
        (13, "control.hottest", "S021"),
        (15, "order.boards", "S008"),
    ]


def test_no_fault_is_made_up_from_a_faulty_key():
    text = bad.GOOD.replace("[[antenna]]", 'impedance = "50 ohmz"\n[[antenna]]')
    text += (
        'impedance = "50 ohm"\nbraid_breaker = false\n[control]\nhottest = "hot"\ncoldest = "80 degC"\nreturns = 90\n'
    )
    found = [p.place.key for p in problems(text)]
    assert found == ["band.impedance", "control.hottest", "control.returns"]


def test_very_many_faults_are_cut_short_and_counted():
    found = problems("".join(f"k{n} = 1\n" for n in range(1000)) + bad.GOOD)
    assert len(found) == 201
    assert [p.found for p in found if "S009" in p.id] == ["800 more faults are not listed"]


def test_overrides_win_over_the_file():
    overrides = {
        "band.lowest": "472 kHz",
        "band.impedance": "50 ohm",
        "order.boards": "5",
        "order.spares": "0 %",
        "output.braid_breaker": "false",
        "protection.surge": "false",
        "title": "other",
        "band.region": "1",
    }
    spec = read_text(bad.GOOD, "board.toml", overrides)
    assert (spec.band.lowest, spec.band.impedance, spec.band.region) == (472e3, 50.0, 1)
    assert (spec.order.boards, spec.order.spares, spec.title) == (5, 0.0, "other")
    assert (spec.output.braid_breaker, spec.protection.surge) == (False, False)


def test_an_override_may_give_what_the_file_lacks_or_has_wrong():
    text = '[band]\nlowest = "oops"\n' + bad.ANTENNA
    spec = read_text(text, "", {"band.lowest": "1 MHz", "band.highest": "2 MHz"})
    assert (spec.band.lowest, spec.band.highest) == (1e6, 2e6)
    assert read_text(bad.ANTENNA, "", {"band.lowest": "1 MHz", "band.highest": "2 MHz"}) == spec


@pytest.mark.parametrize(
    ("key", "text", "word"),
    [
        ("band.lowest", "1,500 kHz", "1.500 or 1500"),
        ("band.lowest", "", "empty"),
        ("band.lowest", "29 MHz", "below highest"),
        ("order.boards", "0", "1 to 10000"),
        ("order.boards", "two", "whole number"),
        ("order.boards", "1_0", "whole number"),
        ("order.boards", "2.0", "whole number"),
        ("order.boards", "٢", "whole number"),
        ("order.boards", "9" * 5000, "whole number"),
        ("protection.surge", "yes", "neither"),
        ("protection.surge", "1", "neither"),
        ("switching.idle", "opened", '"open"'),
        ("band.lowst", "1 MHz", '"lowest"'),
        ("order.lowest", "1 MHz", "[band]"),
        ("lowest", "1 MHz", "[band]"),
        ("band", "160 m", "[band]"),
        ("nothing.at", "x", "unknown"),
        ("antenna.1.label", "x", "overridden"),
        ("antenna", "x", "overridden"),
        ("a.b.c", "x", "overridden"),
        ("band.", "x", "unknown"),
        ("", "x", "unknown"),
        ("..", "x", "overridden"),
    ],
)
def test_bad_overrides_are_placed_on_the_command_line(key, text, word):
    (problem,) = [p for p in problems(bad.GOOD, {key: text}) if p.place.file == "command line"]
    assert problem.place.line is None
    assert word in problem.sentence


def test_an_override_in_a_table_of_the_wrong_shape_reports_the_table():
    text = "order = 3\n" + bad.GOOD
    assert [(p.place.line, p.place.key) for p in problems(text, {"order.boards": "5"})] == [(1, "order")]


def test_reads_a_file_with_a_byte_order_mark_and_dos_line_ends(tmp_path):
    path = tmp_path / "board.toml"
    path.write_bytes(b"\xef\xbb\xbf" + FULL.replace("\n", "\r\n").encode())
    assert load(path) == read_text(FULL)


def test_overrides_reach_a_file(tmp_path):
    path = tmp_path / "board.toml"
    path.write_text(FULL, encoding="utf-8")
    assert load(path, {"order.boards": "7"}).order.boards == 7


def refusal(path):
    with pytest.raises(InputError) as caught:
        load(path)
    (problem,) = caught.value.problems
    assert problem.place.file == str(path)
    return problem


def test_refuses_what_is_no_regular_file(tmp_path):
    assert "No such file" in refusal(tmp_path / "absent.toml").found
    assert "not a regular file" in refusal(tmp_path).found
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert "not a regular file" in refusal(pipe).found
    assert "not a regular file" in refusal(type(tmp_path)("/dev/zero")).found
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    assert "cannot be read" in refusal(loop).found
    assert "cannot be read" in refusal(tmp_path / ("x" * 5000)).found
    assert "cannot be read" in refusal(type(tmp_path)("a\0b")).found


def test_refuses_a_large_file_and_takes_one_of_the_limit(tmp_path):
    path = tmp_path / "large.toml"
    filler = "# fill\n"
    text = bad.GOOD + filler * ((1024 * 1024 - len(bad.GOOD)) // len(filler))
    path.write_text(text + "#" * (1024 * 1024 - len(text)), encoding="utf-8")
    assert load(path).antenna[0].label == "north"
    path.write_text(text + "#" * (1024 * 1024 - len(text) + 1), encoding="utf-8")
    assert "1 MiB" in refusal(path).found


@pytest.mark.parametrize("broken", [b"\xff", b"\xc3(", "é".encode("latin-1"), "é".encode("utf-16")])
def test_refuses_what_is_not_utf8_with_its_line(tmp_path, broken):
    path = tmp_path / "board.toml"
    path.write_bytes(b'title = "x"\n# two\nrevision = "' + broken + b'"\n')
    problem = refusal(path)
    assert (problem.id, problem.place.line) == ("S002 not UTF-8", 3)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("[band]\nlowest = 1.8 MHz\n", 2),
        ('title = "x\n', 1),
        ("\n\n[band\n", 3),
        ('title = "a"\n\ntitle = "b"\n', 3),
        ("[band]\n[order]\n[band]\n", 3),
        ("a = [\n1,\n2", 3),
    ],
)
def test_broken_toml_has_its_line(text, line):
    (problem,) = problems(text)
    assert (problem.id, problem.place.line) == ("S003 broken TOML", line)


def test_a_good_specification_loads_no_round_trip_parser():
    code = (
        "import sys\nfrom boardgen.spec.load import read_text\n"
        f"read_text({bad.GOOD!r})\n"
        "heavy = {'tomlkit', 'pandas', 'numpy', 'skidl', 'rich'} & set(sys.modules)\n"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")


def test_spares_of_kinds_are_by_the_names_of_kinds():
    spec = read_text(bad.GOOD + '[order.spares_of]\nwinding_wire = "25 %"\ncore = "0 %"\n')
    assert dict(spec.order.spares_of.by_kind) == {"core": 0.0, "winding wire": 0.25}
    assert {name.replace("_", " ") for name in SparesOf.model_fields} <= set(KIND)
