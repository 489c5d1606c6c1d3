"""Faults planted in the files of a built board: by kind, what is done, how, and the id that tells of it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from tests.proof.built_folder import archive_in
from tests.proof.planting import (
    BILL,
    BOARD,
    BOTTOM,
    LEGEND,
    LIBRARY,
    MASK,
    MM,
    NEEDS,
    NETLIST,
    NOTE,
    OTHER_MASK,
    OUTLINE,
    PLATED,
    POSITIONS,
    PROJECT,
    TABLE,
    TEST_LIST,
    TOP,
    UNPLATED,
    Change,
    absent,
    absent_segment,
    across,
    added,
    beside,
    both,
    column,
    crossing_area,
    cut_short,
    drawn,
    drop_first,
    exchanged,
    exchanged_copper,
    flash_again,
    half,
    hole_line,
    later,
    lines,
    long_track,
    loose,
    middle,
    moved,
    on_its_own,
    over_lands,
    packed,
    pad,
    path_of,
    project,
    renewed_hole,
    ring,
    screw_to,
    size,
    swapped,
    text,
    thin,
    unlike,
    unplated,
    via_of,
    without_comp,
    without_largest_area,
    without_line,
)

DOT = "X9000000Y9000000D03*"
WINDOW = ("X9000000Y9000000D02*", "X12000000D01*", "Y12000000D01*", "X9000000D01*", "Y9000000D01*")
AREA = ("G36*", "X0Y0D02*", "X9000000Y0D01*", "X9000000Y9000000D01*", "X0Y0D01*", "G37*")
WIDE_OPEN = text(MASK, r"^%ADD(\d+)C,[\d.]+\*%$", r"%ADD\1C,6*%", 0)
FIRST_OUTLINE = r"^X\d+Y\d+D02\*\nX\d+Y\d+D01\*\n"
TESTED = r"^(317)(\S+ *)( {3}K1 {4}-1 {3}.*)$"
ONE, OTHER = '(node (ref "K1") (pin "1")', '(node (ref "K1") (pin "3")'
ANODE = r'(\(ref "D1"\) \(pin "1"\) \(pinfunction )"anode"'
RESISTOR = f"{LIBRARY}axial-0207.kicad_mod"

FAULTS: Mapping[str, Sequence[tuple[str, Change, str]]] = {
    "bridge": [
        ("a line right across the board", later(across), "B102"),
        ("two pins of a relay joined", later(lambda: drawn(BOTTOM, "0.3", pad("K1,1"), pad("K1,2"))), "B102"),
    ],
    "open": [
        ("a track of the bus gone", lines(TOP, drop_first("%TO.N,bus centre*%", "D01*")), "B101"),
        (
            "a track gone from the editor as well",
            both(lines(TOP, drop_first("%TO.N,bus centre*%", "D01*")), absent_segment("bus centre")),
            "B101",
        ),
    ],
    "land": [
        ("a land gone on one side", lines(TOP, drop_first("%TO.P,K1,1*%", "D03*")), "P202"),
        ("a land twice", later(lambda: added(TOP, *flash_again("K1,1"))), "P202"),
    ],
    "mirrored": [
        ("bottom copper mirrored", later(lambda: moved(BOTTOM, 0, 0, mirrored_at=size()[0])), "B101"),
    ],
    "shifted": [
        ("top copper 0.3 mm to the right", moved(TOP, 300_000, 0), "P202"),
    ],
    "exchanged": [
        ("both copper layers, attributes and all", exchanged_copper, "P401"),
        ("both copper layers", swapped(TOP, BOTTOM), "P101"),
    ],
    "pour": [
        ("the largest area deleted", lines(TOP, without_largest_area), "P401"),
        ("an area whose outline crosses itself", lines(TOP, crossing_area), "P207"),
    ],
    "width": [
        ("a track of 0.02 mm", later(thin), "B203"),
        ("all thin tracks thinner", text(TOP, r"C,0\.3\*", "C,0.1*"), "B203"),
    ],
    "gap": [
        ("copper 0.05 mm from the bus", later(lambda: beside(50_000)), "B201"),
    ],
    "loose": [
        ("copper that no pin is joined to", later(on_its_own), "B104"),
    ],
    "edge": [
        ("a track off the board", later(lambda: drawn(TOP, "0.3", pad("K1,1"), (-5 * MM, 9 * MM))), "B204"),
        ("a track along the edge", drawn(TOP, "0.3", (200_000, 9 * MM), (200_000, 12 * MM)), "B204"),
    ],
    "label": [
        ("copper of 0V said to be earth", text(BOTTOM, r"TO\.N,0V\*", "TO.N,earth*", 1), "P206"),
        ("a via's aperture said to be a track's", text(TOP, "ViaPad", "Conductor"), "P206"),
        (
            "two pins exchanged",
            both(exchanged(TOP, "TO.P,K1,1*", "TO.P,K1,10*"), exchanged(BOTTOM, "TO.P,K1,1*", "TO.P,K1,10*")),
            "B10",
        ),
    ],
    "aperture": [
        ("lands with a hole in them", text(TOP, r"(ADD\d+C,1\.7)\*", r"\1X0.9*"), "P100"),
        ("an aperture defined twice", text(TOP, r"^(%ADD\d+C,1\*%)$", r"\1\n\1"), "P100"),
        ("a macro", added(TOP, "%AMBOX*1,1,2,0,0*%"), "P100"),
    ],
    "layer": [
        ("copper cleared away", added(TOP, "%LPC*%", "D10*", DOT, "%LPD*%"), "P100"),
        ("steps and repeats", added(TOP, "%SRX2Y1I9J0*%"), "P100"),
        ("drawn on after the end", text(TOP, r"^M02\*$", f"M02*\n{DOT}"), "P100"),
        ("words after the end", text(TOP, r"^M02\*$", "M02*\nend"), "P100"),
        ("inches", text(TOP, "MOMM", "MOIN"), "P100"),
        ("no unit", text(TOP, r"^%MOMM\*%$", ""), "P100"),
        ("a letter that is not ASCII", text(TOP, "GenerationSoftware,", "GenerationSoftware,\u00e4"), "P100"),
        ("cut short", cut_short(TOP), "P100"),
        ("absent", absent(BOTTOM), "P100"),
    ],
    "unplated hole": [
        ("through a track", later(lambda: unplated(middle(long_track("bus centre")))), "P205"),
        ("a screw's hole moved onto a gas tube's pad", later(lambda: screw_to(pad("E1,1"))), "P205"),
        ("all screws' holes gone", text(UNPLATED, r"^X.*\n", "", 0), "P203"),
        ("one too near the edge", unplated((1_900_000, 9 * MM)), "B304"),
    ],
    "drill file": [
        ("the plated one says that it is not", text(PLATED, "Plated,1,2,PTH", "NonPlated,1,2,NPTH"), "P101"),
        ("a tool for mechanics among the plated", text(PLATED, "ViaDrill", "MechanicalDrill"), "P101"),
        ("both exchanged", swapped(PLATED, UNPLATED), "P101"),
        ("cut short", cut_short(PLATED), "P100"),
        ("inches", text(PLATED, "METRIC", "INCH"), "P100"),
    ],
    "hole": [
        ("gone from a via", renewed_hole(lambda at: ""), "P201"),
        ("moved", renewed_hole(lambda at: f"{hole_line((at[0] + 50_000, at[1]))}\n"), "P202"),
        ("drilled twice", renewed_hole(lambda at: f"{hole_line(at)}\n" * 2), "P204"),
        (
            "two close together",
            later(lambda: unplated((via_of("bus braid")[0] + 2_200_000, via_of("bus braid")[1]))),
            "B303",
        ),
    ],
    "ring": [
        ("vias with a ring of 0.02 mm", text(PLATED, r"C0\.500$", "C0.960"), "B301"),
    ],
    "hole size": [
        ("smaller than any house drills", text(PLATED, r"C0\.500$", "C0.100"), "B302"),
        ("a relay's holes 0.1 mm wider", text(PLATED, r"C0\.900$", "C1.000"), "P301"),
    ],
    "outline": [
        ("a side missing", text(OUTLINE, r"^X0Y0D01\*\n", ""), "P208"),
        ("cut through the middle", later(half), "P208"),
        ("a window in the board", added(OUTLINE, *WINDOW), "P208"),
        ("two millimetres narrower", ring(-2 * MM), "B304"),
        ("two millimetres wider", ring(2 * MM), "P301"),
        ("begins a millimetre in", ring(dx=MM), "P208"),
        ("longer than the house makes", ring(0, 400 * MM), "P208"),
        ("absent", absent(OUTLINE), "P100"),
        ("nothing drawn", text(OUTLINE, r"^X.*\n", "", 0), "P208"),
    ],
    "mask": [
        ("openings of 6 mm over everything", WIDE_OPEN, "P203"),
        ("openings no larger than the lands", text(MASK, r"C,1\.8\*", "C,1.7*"), "P203"),
        ("an opening missing", lines(MASK, drop_first("G75*", "D03*")), "P203"),
        (
            "an opening over a track",
            later(lambda: added(MASK, f"X{pad('K1,1')[0] + 1_270_000}Y{pad('K1,1')[1]}D03*")),
            "P203",
        ),
        ("an area bare", added(MASK, *AREA), "P203"),
        ("mirrored", later(lambda: moved(OTHER_MASK, 0, 0, mirrored_at=size()[0])), "P203"),
    ],
    "polarity": [
        ("a mask said to be positive", text(MASK, "Negative", "Positive"), "P101"),
        ("copper said to be negative", text(TOP, "Polarity,Positive", "Polarity,Negative"), "P101"),
        ("a legend said to be negative", text(LEGEND, "Polarity,Positive", "Polarity,Negative"), "P101"),
    ],
    "attribute": [
        ("a mask that says it is the outline", text(MASK, "Soldermask,Top", "Profile,NP"), "P101"),
        ("the file of another layer", lambda f: {**f, MASK: f[OUTLINE]}, "P101"),
    ],
    "legend": [
        ("shifted by 5 mm", moved(LEGEND, 5 * MM, 0), "P209"),
        ("off the board", moved(LEGEND, 0, 200 * MM), "P209"),
        ("mirrored", later(lambda: moved(LEGEND, 0, 0, mirrored_at=size()[0])), "P209"),
        ("over lands", later(over_lands), "P209"),
        ("lines too thin", text(LEGEND, r"C,0\.15\*", "C,0.05*"), "P209"),
        ("a line of an outline gone", text(LEGEND, FIRST_OUTLINE, ""), "P209"),
        ("empty", text(LEGEND, r"^X.*\n", "", 0), "P209"),
        ("a word of a terminal is another in the editor's file", text(BOARD, '"SEL"', '"0V"'), "P209"),
        (
            "two designators exchanged in the editor's file",
            exchanged(BOARD, 'reference "R1"', 'reference "R2"'),
            "P209",
        ),
    ],
    "test list": [
        ("a wrong net", text(TEST_LIST, TESTED, lambda m: f"317{'0V':<14}{m.group(3)}"), "P301"),
        ("a land moved", text(TEST_LIST, r"(K1 {4}-1 .*X)\+(\d{6})", r"\1-\2"), "P301"),
        ("cut in half", cut_short(TEST_LIST), "P100"),
        (
            "half of its lands left out",
            both(lines(TEST_LIST, lambda all_: [line for k, line in enumerate(all_) if k % 2 or line[:3] != "317"])),
            "P301",
        ),
        ("another hole", text(TEST_LIST, r"(K1 {4}-1 {3} D)\d{4}", r"\g<1>1900"), "P301"),
        ("another outline", text(TEST_LIST, r"(BOARD_EDGE.* X)\d{6}( Y\d)", r"\g<1>099999\2"), "P301"),
        ("a land said to be covered", text(TEST_LIST, r"(K1 {4}-1 .*R000 S)0", r"\g<1>3"), "P100"),
        ("another job", text(TEST_LIST, r"^P  JOB .*$", "P  JOB another board"), "P301"),
        ("other units", text(TEST_LIST, "UNITS CUST 1", "UNITS CUST 0"), "P100"),
    ],
    "positions": [
        ("a relay turned", column("K1", 5, "90"), "P302"),
        ("a part moved", column("R1", 3, "12.345"), "P302"),
        ("another footprint", column("R1", 2, "axial-0207"), "P302"),
        ("another value", column("R1", 1, "3.9 ohm"), "P302"),
        ("on the other side", column("K1", 6, "bottom"), "P302"),
        ("not fitted", column("K1", 7, "no"), "P302"),
        ("a part missing", lines(POSITIONS, without_line("E1,")), "P302"),
        ("a part twice", text(POSITIONS, r"^E1,.*$", r"\g<0>\n\g<0>"), "P302"),
        ("a column renamed", text(POSITIONS, r"Mid X \(mm\)", "Mid X (inch)"), "P100"),
    ],
    "note": [
        ("another house", text(NOTE, r"^Drawn for  [^(]+", "Drawn for  fine house "), "P304"),
        ("a wider ring", text(NOTE, r"(, ring )[\d.]+ mm$", r"\g<1>0.99 mm"), "P304"),
        ("of another day", text(NOTE, "2026-11-25", "2026-11-24"), "P304"),
        ("another size", text(NOTE, r"^(Size +)[\d.]+", r"\g<1>99.00"), "P304"),
        ("another count of holes", text(NOTE, r"(0\.50 mm +plated +)\d+", r"\g<1>7"), "P304"),
        ("of another board", text(NOTE, r"\A[^,]+", "Another board"), "P304"),
    ],
    "bill": [
        ("another maker's number", text(BILL, r"^(\d+,Panasonic,)[^,]+", r"\1TQ2-5V"), "P307"),
        ("another maker", text(BILL, r"^(\d+),Panasonic,", r"\1,another,"), "P307"),
        ("a part less", text(BILL, r",K1 K2,2,", ",K1,1,"), "P307"),
        ("another count", text(BILL, r",K1 K2,2,", ",K1 K2,3,"), "P307"),
        ("a line gone", text(BILL, r"^\d+,Panasonic,.*\n", ""), "P307"),
        ("absent", absent(BILL), "P100"),
    ],
    "needs": [
        ("another maker's number", text(NEEDS, '"TQ2-12V"', '"TQ2-5V"'), "P308"),
        ("another count", text(NEEDS, r'("K2"\s+\],\s+"per_board": )"2"', r'\1"3"'), "P308"),
        ("of another revision", text(NEEDS, '"revision": "A"', '"revision": "B"'), "P308"),
        ("a member gone", text(NEEDS, r'^  "area_dm2": .*\n', ""), "P100"),
        ("absent", absent(NEEDS), "P100"),
    ],
    "date": [
        ("a layer of another day", text(MASK, "2026-11-25", "2026-11-24"), "P306"),
        ("the editor's file of another day", text(BOARD, r'\(date "[^"]+"\)', '(date "2020-01-01")'), "P306"),
    ],
    "netlist": [
        ("two pins of a relay exchanged", exchanged(NETLIST, ONE, OTHER), "B10"),
        ("another pin", text(NETLIST, r'(\(ref "K1"\) )\(pin "1"\)', r'\1(pin "x1")'), "B103"),
        ("a pin in two nets", text(NETLIST, re.escape(OTHER), f"{ONE}) {OTHER}"), "P100"),
        ("another footprint", text(NETLIST, '"footprints:axial-0207"', '"footprints:axial-do41"'), "P302"),
        ("another value", text(NETLIST, '"37.4 ohm"', '"374 ohm"'), "P302"),
        ("a part less", lines(NETLIST, without_comp("D1")), "P302"),
        ("anode and cathode exchanged", text(NETLIST, ANODE, r'\1"cathode"'), "P303"),
        ("another maker's number", text(NETLIST, r'\(name "Number"\) "[^"]+"', '(name "Number") "X1"'), "P401"),
        ("another revision", text(NETLIST, r"revision \w+", "revision Z"), "P301"),
        ("cut short", cut_short(NETLIST), "P100"),
    ],
    "archive": [
        ("another layer in it", packed(unlike), "P305"),
        ("a layer missing from it", packed(lambda f: loose(f)[1:]), "P305"),
        ("a file more in it", packed(lambda f: [*loose(f), ("copper-inner.gbr", b"")]), "P305"),
        ("not an archive", lambda f: {**f, archive_in(f): b"PK"}, "P305"),
        ("absent", lambda f: {p: d for p, d in f.items() if not p.endswith(".zip")}, "P100"),
        ("a second one", lambda f: {**f, "fabrication/z.zip": f[archive_in(f)]}, "P100"),
    ],
    "unnamed": [
        ("a file that no board has", lambda f: {**f, "fabrication/copper-inner.gbr": f[TOP]}, "P100"),
        (
            "a layer named as of a bad board",
            lambda f: {**absent(TOP)(f), "fabrication/NOT-GOOD-copper-top.gbr": f[TOP]},
            "P100",
        ),
    ],
    "editor copper": [
        ("a track gone", absent_segment("0V"), "P401"),
        ("a track wider", text(BOARD, r"^    \(width 0\.6\)$", "    (width 0.7)"), "P401"),
        ("a via with a larger hole", text(BOARD, r"^    \(drill 0\.5\)$", "    (drill 0.6)"), "P401"),
        (
            "an area filled otherwise",
            text(BOARD, r'(\(filled_polygon \(layer "F\.Cu"\) \(pts \(xy )[\d.]+', r"\g<1>30"),
            "P401",
        ),
        ("a pad of another net", text(BOARD, r'\(net \d+ "0V"\) \(pinf', '(net 0 "") (pinf'), "P401"),
        ("a net of another name", text(BOARD, r'^  \(net (\d+) "earth"\)$', r'  (net \1 "soil")'), "P100"),
    ],
    "editor rules": [
        ("copper let under a screw", text(BOARD, r"tracks not_allowed", "tracks allowed"), "P100"),
        (
            "no room kept about a screw at all",
            text(BOARD, r"^  \(zone\n    \(net 0\)\n(?:    .*\n)*?  \)\n", ""),
            "P401",
        ),
        ("a class finer than the house makes", text(PROJECT, r'"track_width": 0\.\d+', '"track_width": 0.05'), "P401"),
        ("a net in no class", text(PROJECT, r'^ +"bus centre",\n', ""), "P401"),
        ("areas nearer than the house makes", text(BOARD, r"\(clearance 0\.2\)", "(clearance 0.05)"), "P401"),
        ("a layer of another kind", text(BOARD, r'\(31 "B\.Cu" signal\)', '(31 "B.Cu" power)'), "P401"),
        ("a thinner board", text(BOARD, r"\(thickness 1\.6\)", "(thickness 0.8)"), "P401"),
    ],
    "editor outline": [
        ("a corner moved", text(BOARD, r"\(gr_line\n    \(start \d+", "(gr_line\n    (start 20"), "P401"),
        ("a screw's hole narrower", text(BOARD, r"\(drill 3\.2\)", "(drill 2.2)"), "P401"),
    ],
    "editor part": [
        ("moved", text(BOARD, r"(relay-ten-pin(?:.*\n)+?    \(at )[\d.]+", r"\g<1>30"), "P401"),
        ("another value", text(BOARD, 'value "37.4 ohm"', 'value "374 ohm"'), "P401"),
        ("another footprint", text(BOARD, '"footprints:axial-0207"', '"footprints:link"'), "P401"),
        ("another maker", text(BOARD, r'\(property "Maker" "[^"]+"', '(property "Maker" "X"'), "P401"),
        ("a role exchanged", text(BOARD, '(pinfunction )"anode"', r'\1"cathode"'), "P401"),
    ],
    "editor library": [
        ("a pad moved", text(RESISTOR, r'(pad "1" thru_hole \w+ \(at )[-\d.]+', r"\g<1>1"), "P401"),
        ("a footprint absent", absent(RESISTOR), "P401"),
        ("a body drawn larger", text(RESISTOR, r"(fp_poly \(pts \(xy )[-\d.]+", r"\g<1>-40"), "P401"),
        ("a footprint beside it", lambda f: {**f, "board-editor/others.pretty/x.kicad_mod": f[RESISTOR]}, "P100"),
        ("another place of it", text(TABLE, "footprints.pretty", "others.pretty"), "P401"),
    ],
    "editor limits": [
        ("a clearance of 0.05 mm", project(lambda rules: rules.update(min_clearance=0.05)), "P401"),
        ("no rule for rings", project(lambda r: r.pop("min_via_annular_width") and None), "P401"),
        ("another margin of the mask", text(BOARD, "mask_clearance 0.05", "mask_clearance 0.1"), "P401"),
    ],
    "editor title": [
        ("another revision", text(BOARD, r'\(rev "[^"]*"\)', '(rev "Z")'), "P401"),
    ],
    "editor file": [
        ("a turn of 45 degrees", text(BOARD, r"^    \(at ([\d.]+ [\d.]+) 90\)$", r"    (at \1 45)"), "P100"),
        ("something that is not read", text(BOARD, r"^  \(net 0 ", "  (target)\n  (net 0 "), "P100"),
        ("damaged", lambda f: {**f, path_of(BOARD, f): f[path_of(BOARD, f)][:-9]}, "P100"),
    ],
}
