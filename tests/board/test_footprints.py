"""Every pattern that boards are laid out with, as its drawing has it: on the board, from the side of the parts."""

from __future__ import annotations

import pytest
from msgspec import structs

from boardgen.board.layout import Layout
from boardgen.board.rotated_footprint import rotated
from boardgen.catalogue import load
from boardgen.catalogue.to_verify import checks_of
from boardgen.model.copper import PlacedPad
from boardgen.model.problem import InputError
from tests.board.boards import CATALOGUE, made

TEN = "1 0,0; 2 2.54,0; 3 5.08,0; 4 7.62,0; 5 10.16,0; 6 10.16,7.62; 7 7.62,7.62; 8 5.08,7.62; 9 2.54,7.62; 10 0,7.62"
SIXTEEN = "1 0,0; 4 7.62,0; 6 12.7,0; 8 17.78,0; 9 17.78,7.62; 11 12.7,7.62; 13 7.62,7.62; 16 0,7.62"
DRAWINGS = {
    "relay-ten-pin-7.62": ("Fujitsu A series data sheet p. 6, drawing seen (bottom view, turned)", TEN),
    "relay-dip16-7.62": ("Hongfa HFD2 sheet, printed p. 43, drawing seen (bottom view, turned)", SIXTEEN),
    "relay-eight-pin-7.6": (
        "Songle SRC series sheet p. 2, drawing seen (bottom view, turned); numbers are ours",
        "1 0,0; 4 7.6,0; 6 12.7,0; 8 17.8,0; 9 17.8,7.6; 11 12.7,7.6; 13 7.6,7.6; 16 0,7.6",
    ),
    "relay-eight-pin-5.08": (
        "Panasonic (NAIS) TX data sheet, dimensions page (bottom view, turned)",
        "1 0,0; 3 5.08,0; 4 7.62,0; 5 10.16,0; 8 10.16,5.08; 9 7.62,5.08; 10 5.08,5.08; 12 0,5.08",
    ),
    "relay-eight-pin-im": (
        "TE IM Relay data sheet 09-2017 p. 3 (component side); which end holds pin 1 recalled",
        "1 0,0; 2 3.2,0; 3 5.4,0; 4 7.6,0; 5 7.6,5.08; 6 5.4,5.08; 7 3.2,5.08; 8 0,5.08",
    ),
    "choke-9.3x9.8": ("ABC RH0910 approval sheet 20121003-E", "1 0,0; 2 5,0"),
    "choke-9.3x11.8": ("ABC RH0912 approval sheet 20121004-A", "1 0,0; 2 5,0"),
    "choke-11.7x12-7.0": ("ABC RB1314 approval sheet 20130617-B, figure B", "1 0,0; 2 7,0"),
    "bifilar-b82790c0": (
        "TDK B82790C0/S0 data sheet 08/2019 p. 3, drawing seen: 4.5 gap, 2.85 pads, 2.5 pitch",
        "1 -3.675,1.25; 2 3.675,1.25; 3 3.675,-1.25; 4 -3.675,-1.25",
    ),
    "capacitor-2.54": ("KEMET Goldmax 300 lead spacings", "1 0,0; 2 2.54,0"),
    "capacitor-5.08": ("KEMET Goldmax 300 lead spacings", "1 0,0; 2 5.08,0"),
    "fuse-mf-r": ("Bourns MF-R sheets", "1 0,0; 2 5.1,0"),
    "led-3mm": ("Kingbright WP710A10F3C sheet V.3A p. 1, drawing seen", "1 0,0; 2 2.54,0"),
    "terminal-5.08-2": ("On Shore Technology drawing OSTTCXX2162, second hand", "1 0,0; 2 5.08,0"),
    "terminal-3.5-5": ("an open library of footprints, second hand", "1 0,0; 2 3.5,0; 3 7,0; 4 10.5,0; 5 14,0"),
}
CORE_MM = {"202": 9.525, "302": 7.62, "1502": 6.35, "2402": 5.08}
"""From the middle to the row of pads: our own pattern, derived from body, hole spacing and a gap to the face."""
DRAWINGS |= {
    f"core-{size}": (
        "derived from published core sizes, our own pattern",
        f"P1 -2.54,{-row}; PC 0,{-row}; P2 2.54,{-row}; S1 2.54,{row}; SC 0,{row}; S2 -2.54,{row}",
    )
    for size, row in CORE_MM.items()
}
OWN_SPACING = ("axial-", "gas-tube-", "stud-", "link-", "pigtail-", "capacitor-film-", "capacitor-ceramic-")
"""Leads bent to a spacing of our own, holes for a wire or a screw: no drawing prescribes them."""
RELAYS = ("relay-tq2-12", "relay-tx2-12", "relay-hfd2-12-s", "relay-src-12", "relay-im06")
BOARDS = (
    {"feed": "local rail"}, {"feed": "common-mode choked", "relays_in_series": 2}, {"feed": "plain", "idle": "open"},
    {"entry": "studs"}, {"surge": False, "drive": "low side", "indicators": False},
)  # fmt: skip

Places = dict[str, tuple[int, int]]


def drawn(key: str) -> Places:
    """The pads of a drawing, in nanometres."""
    pads = {}
    for pad in DRAWINGS[key][1].split("; "):
        number, place = pad.split(" ")
        x, y = place.split(",")
        pads[number] = (round(float(x) * 1e6), round(float(y) * 1e6))
    return pads


def turned(places: Places, turn: int) -> Places:
    """Turned anticlockwise by quarters."""
    for _ in range(turn):
        places = {number: (-y, x) for number, (x, y) in places.items()}
    return places


@pytest.mark.parametrize("key", DRAWINGS)
def test_pattern_is_as_drawn(key: str) -> None:
    assert {pad.number: (pad.x_nm, pad.y_nm) for pad in CATALOGUE.footprints[key].pads} == drawn(key)


def wrong_parts(layout: Layout) -> list[str]:
    """Parts whose lands do not lie as drawn, turned by the part's turn and never mirrored."""
    pads: dict[str, list[PlacedPad]] = {}
    for pad in layout.board.pads:
        pads.setdefault(pad.ref, []).append(pad)
    found = []
    for part in layout.board.parts:
        if part.footprint not in DRAWINGS:
            assert part.footprint.startswith(OWN_SPACING), part.footprint
            continue
        wanted = {
            n: (part.at[0] + x, part.at[1] + y) for n, (x, y) in turned(drawn(part.footprint), part.rotation).items()
        }
        if {pad.number: pad.at for pad in pads[part.ref]} != wanted:
            found.append(part.ref)
    return found


@pytest.mark.parametrize("relay", RELAYS)
def test_relays_stand_as_drawn(relay: str) -> None:
    layout, netlist, _ = made({"feed": "none"}, 1, relay=CATALOGUE.part(relay))
    assert netlist.of_kind("relay")
    assert wrong_parts(layout) == []


@pytest.mark.parametrize("option", BOARDS, ids=str)
def test_other_parts_stand_as_drawn(option: dict[str, object]) -> None:
    layout, _, _ = made(option, 2)
    assert {part.kind for part in layout.board.parts} >= {"relay", "core"}
    assert wrong_parts(layout) == []


def test_a_mirrored_pattern_on_the_board_is_seen() -> None:
    layout, _, _ = made({"feed": "local rail"}, 2)
    relay = next(part for part in layout.board.parts if part.kind == "relay")
    pads = tuple(
        structs.replace(pad, at=(2 * relay.at[0] - pad.at[0], pad.at[1])) if pad.ref == relay.ref else pad
        for pad in layout.board.pads
    )
    mirrored = structs.replace(layout, board=structs.replace(layout.board, pads=pads))
    assert wrong_parts(mirrored) == [relay.ref]


@pytest.mark.parametrize("key", [key for key in DRAWINGS if key.startswith("relay-")])
@pytest.mark.parametrize("view", ["top", "bottom"])
def test_a_bottom_view_must_be_entered_as_one(tmp_path, key: str, view: str) -> None:
    pads = [[number, x / 1e6, -y / 1e6] for number, (x, y) in drawn(key).items()]
    text = f"""
[[footprint]]
key = "{key}"
description = "as seen from the terminals"
view = "{view}"
standing = "read"
source = "{DRAWINGS[key][0]}"
hole_mm = 0.9
body_mm = [20, 10, 5]
pads_mm = {str(pads).replace("'", '"')}
"""
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    if view == "bottom":
        own = load(tmp_path).footprints[key]
        assert {pad.number: (pad.x_nm, pad.y_nm) for pad in own.pads} == drawn(key)
        return
    with pytest.raises(InputError) as raised:
        load(tmp_path)
    assert {problem.id for problem in raised.value.problems} == {"K011 wrong side"}


def test_quarter_turns_are_anticlockwise() -> None:
    pattern = CATALOGUE.footprints["relay-ten-pin-7.62"]
    for turn in range(4):
        found = {pad.number: (pad.x_nm, pad.y_nm) for pad in rotated(pattern, turn).pads}
        assert found == turned(drawn("relay-ten-pin-7.62"), turn)


def test_what_no_drawing_confirms_is_to_be_verified() -> None:
    weak = {
        key
        for key, pattern in CATALOGUE.footprints.items()
        if pattern.standing in ("recalled", "assumed") and not pattern.own_pattern
    }
    parts = [part for part in CATALOGUE.parts.values() if part.footprint in weak]
    assert {"capacitor-5.08", "gas-tube-two-12.7", "stud-4.7"} <= weak
    assert not {"core-202", "link-5.08"} & weak
    for part in parts:
        assert any(part.footprint in check.sentence for check in checks_of(part, CATALOGUE)), part.key
