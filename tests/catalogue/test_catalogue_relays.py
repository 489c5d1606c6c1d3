"""Pin maps of relays against literal maps, and the two ways of entering a drawing from the wrong side."""

import re

import pytest

from boardgen.catalogue.to_verify import checks_of
from tests.catalogue.own_folder import over, problems
from tests.catalogue.shipped import CATALOGUE

ROLES = (
    "coil +", "coil -", "pole A common", "pole A normally closed", "pole A normally open",
    "pole B common", "pole B normally closed", "pole B normally open",
)  # fmt: skip
MAPS = {
    "relay-tq2-12": "1 10 3 2 4 8 9 7",
    "relay-ea2-12": "1 10 3 2 4 8 9 7",
    "relay-hfd2-12-m": "1 16 4 6 8 13 11 9",
    "relay-hfd2-12-s": "1 16 4 6 8 13 11 9",
    "relay-jrc27f-12-s": "1 16 4 6 8 13 11 9",
    "relay-ds2e-12": "1 16 4 6 8 13 11 9",
    "relay-az822-12": "1 16 4 6 8 13 11 9",
    "relay-src-12": "1 16 6 4 8 11 13 9",
    "relay-tx2-12": "1 12 4 3 5 9 10 8",
    "relay-ec2-12": "1 12 4 3 5 9 10 8",
    "relay-im06": "1 8 3 2 4 6 7 5",
    "relay-az850-12": "1 10 3 2 4 8 9 7",
    "relay-finder-30-22-12": "1 16 4 6 8 13 11 9",
}
PLACES_MM = {
    "relay-tq2-12": "0,0 0,7.62 5.08,0 2.54,0 7.62,0 5.08,7.62 2.54,7.62 7.62,7.62",
    "relay-hfd2-12-m": "0,0 0,7.62 7.62,0 12.7,0 17.78,0 7.62,7.62 12.7,7.62 17.78,7.62",
    "relay-src-12": "0,0 0,7.6 12.7,0 7.6,0 17.8,0 12.7,7.6 7.6,7.6 17.8,7.6",
    "relay-tx2-12": "0,0 0,5.08 7.62,0 5.08,0 10.16,0 7.62,5.08 5.08,5.08 10.16,5.08",
    "relay-im06": "0,0 0,5.08 5.4,0 3.2,0 7.6,0 5.4,5.08 3.2,5.08 7.6,5.08",
}
BOTTOM_VIEW = """
[[footprint]]
key = "relay-ten-pin-7.62"
description = "ten-pin relay as its maker draws it"
view = "VIEW"
standing = "read"
source = "own reading"
body_mm = [14, 9, 5]
body_centre_mm = [5.08, -3.81]
hole_mm = 1.0
pads_mm = [
    ["1", 0, 0], ["2", 2.54, 0], ["3", 5.08, 0], ["4", 7.62, 0], ["5", 10.16, 0],
    ["10", 0, -7.62], ["9", 2.54, -7.62], ["8", 5.08, -7.62], ["7", 7.62, -7.62], ["6", 10.16, -7.62],
]
"""


def places(pads):
    return {pad.number: (pad.x_nm, pad.y_nm) for pad in pads}


@pytest.mark.parametrize("key", MAPS)
def test_pin_map(key):
    assert CATALOGUE.part(key).pins == dict(zip(ROLES, MAPS[key].split(), strict=True))


@pytest.mark.parametrize("key", PLACES_MM)
def test_every_contact_lies_where_the_drawing_has_it(key):
    relay = CATALOGUE.part(key)
    pads = places(CATALOGUE.footprints[relay.footprint].pads)
    for role, place in zip(ROLES, PLACES_MM[key].split(), strict=True):
        wanted = tuple(round(float(at) * 1e6) for at in place.split(","))
        assert pads[relay.pins[role]] == wanted, role


def test_contacts_that_are_not_known_are_absent():
    part = CATALOGUE.part("relay-dtc4-12")
    assert not any(role.startswith("pole") for role in part.pins)
    assert any("not known" in sentence for sentence in part.verify)


def test_every_relay_is_there_but_the_one_out_of_production():
    assert {part.key for part in CATALOGUE.of_kind("relay")} == {*MAPS, "relay-dtc4-12"}


@pytest.mark.parametrize("key", MAPS)
def test_the_meter_test_is_that_of_the_pin_map(key):
    relay = CATALOGUE.part(key)
    closed, opened = relay.attributes["meter test"].split("coil open: ")[1].split(" closed, ")
    for text, end in ((closed, "normally closed"), (opened, "normally open")):
        pairs = re.findall(r"(\d+)-(\d+)", text)
        assert pairs == [(relay.pins[f"pole {p} common"], relay.pins[f"pole {p} {end}"]) for p in "AB"]


def test_standing_of_a_pin_map_is_kept():
    assert CATALOGUE.part("relay-hfd2-12-m").attributes["pin map"] == "read"
    assert CATALOGUE.part("relay-tx2-12").attributes["pin map"] == "recalled"
    (check,) = [check for check in checks_of(CATALOGUE.part("relay-tx2-12"), CATALOGUE) if check.about == "pin map"]
    assert check.sentence.startswith("Pin map recalled")


def test_a_bottom_view_is_turned_to_the_component_side(tmp_path):
    turned = over(tmp_path, own=BOTTOM_VIEW.replace("VIEW", "bottom")).footprints["relay-ten-pin-7.62"]
    ours = CATALOGUE.footprints["relay-ten-pin-7.62"]
    assert places(turned.pads) == places(ours.pads)
    assert (turned.body_centre_x_nm, turned.body_centre_y_nm) == (ours.body_centre_x_nm, ours.body_centre_y_nm)
    assert turned.drawn_from == ours.drawn_from == "bottom"


def mirrored(text):
    """The drawing mirrored left to right."""
    return re.sub(r'(\["\d+", )([\d.]+)', r"\1-\2", text)


@pytest.mark.parametrize(
    "text",
    [
        BOTTOM_VIEW.replace("VIEW", "top"),
        mirrored(BOTTOM_VIEW.replace("VIEW", "bottom")),
    ],
    ids=["bottom view entered as top view", "mirrored left to right"],
)
def test_a_drawing_entered_from_the_wrong_side_is_refused(tmp_path, text):
    # either would put pin 1 of a polarised coil where its partner belongs, or the coil at the wrong end
    (found,) = problems(tmp_path, own=text)
    assert found.id == "K011 wrong side"
    assert 'view = "bottom"' in found.hint
    assert found.place.line == 5


def test_a_relay_that_truly_counts_the_other_way_can_be_entered(tmp_path):
    text = BOTTOM_VIEW.replace("VIEW", "top") + 'numbering = "clockwise"\n'
    assert len(over(tmp_path, own=text).footprints["relay-ten-pin-7.62"].pads) == 10


def test_a_stated_numbering_is_checked(tmp_path):
    (found,) = problems(tmp_path, own=BOTTOM_VIEW.replace("VIEW", "bottom") + 'numbering = "clockwise"\n')
    assert found.id == "K011 wrong side"
