"""boardgen order with a station plan among its specifications, as a user meets it."""

import csv
import io
import json

import pytest

from tests.cli.empty_folder import User

PLAN = """
title = "Two huts"
[source]
kind = "manual switch"
outputs = 5
[[box]]
name = "hut"
spec = "hut.toml"
feeder = { cable = "RG-6 copper centre", length = "50 m" }
control = { cable = "28 AWG", conductors = 4, length = "40 m", returns = 1 }
[[box]]
name = "shed"
spec = "hut.toml"
control = { cable = "24 AWG", conductors = 8, length = "60 m", returns = 1 }
"""
DIRECTION = '[[direction]]\nlabel = "{0} {1}"\nbearing = "0 deg"\nantenna = "{0}/{1}"\n'


def with_plan(user):
    user.start("two-way", "hut.toml")
    directions = [DIRECTION.format(box, label) for box in ("hut", "shed") for label in ("marsh", "ridge")]
    (user.here / "plan.toml").write_text(PLAN + "".join(directions), encoding="utf-8")


@pytest.fixture(scope="module")
def ordered(tmp_path_factory):
    """An order for a plan of two boxes and a board beside it, with cable in hand: what was said, and the files."""
    user = User(tmp_path_factory.mktemp("order"))
    with_plan(user)
    user.start("four-way")
    (user.here / "stock.csv").write_text("part,quantity,note\ncable-control-8x24,70,\n", encoding="utf-8")
    words = ("plan.toml", "board.toml", "--boards", "2", "--boards", "1", "--stock", "stock.csv")
    done = user.run("order", *words, "--json")
    assert (done.returncode, done.stderr) == (1, ""), done.stdout[-300:]
    return user, json.loads(done.stdout), user.built("Order for Two huts and Larkfield four-way")


def bought(said):
    return [line for supplier in said["suppliers"] for line in supplier["lines"]]


@pytest.mark.slow
def test_every_board_and_the_list_beside_them(ordered):
    _, said, files = ordered
    hut = "Larkfield two-way, revision A, box"
    assert [(b["title"], b["boards"]) for b in said["boards"]] == [
        (f"{hut} hut", 2),
        (f"{hut} shed", 2),
        ("feeder selector of Two huts", 2),
        ("Larkfield four-way", 1),
        ("cables and source", 0),
    ]
    bare = {x["part"].split(" of ", 1)[1] for x in bought(said) if x["part"].startswith("bare-board")}
    assert bare == {f"{hut} hut", f"{hut} shed", "feeder selector of Two huts", "Larkfield four-way"}
    assert set(files) == set(said["files"])
    order = json.loads(files["manifest.json"])["inputs"]["order"]
    assert [set(found) & {"plan", "boxes", "specification"} for found in order] == [
        {"plan", "boxes"},
        {"specification"},
    ]


def test_cables_are_bought_once_and_one_fuse_for_the_station(ordered):
    _, said, _ = ordered
    lines = {x["part"]: x for x in bought(said)}
    assert lines["cable-feeder-rg-6-copper"]["needed"] == "56"
    assert lines["switch-rotary-1x12"]["needed"] == "1"
    holders = {u["board"]: u["quantity"] for u in lines["hardware-fuse-holder"]["where_used"]}
    assert holders == {"Larkfield four-way": "1", "cables and source": "1"}
    fuses = {u["board"] for key, x in lines.items() if key.startswith("cable-fuse") for u in x["where_used"]}
    assert fuses == {"Larkfield four-way", "cables and source"}
    diodes = [u for u in lines["diode-1n4007"]["where_used"] if u["board"] == "cables and source"]
    assert [u["quantity"] for u in diodes] == ["2"]


def test_what_has_no_price_or_no_name_is_told(ordered):
    _, said, _ = ordered
    assert [x["part"] for x in said["unbought"]] == ["control-cable-4-x-28-awg"]
    assert "control-cable-4-x-28-awg" in json.dumps(said["shortfalls"])
    (told,) = [p for p in said["warnings"] if p["id"].startswith("P037")]
    assert (told["file"], told["line"]) == ("plan.toml", 11)


def test_cable_in_hand_is_not_bought_again(ordered):
    _, said, files = ordered
    assert "cable-control-8x24" not in {x["part"] for x in bought(said)}
    assert [(x["used"], x["left"]) for x in said["stock"] if x["part"] == "cable-control-8x24"] == [("66", "4")]
    after = {x["part"]: x["quantity"] for x in csv.DictReader(io.StringIO(files["stock-after.csv"].decode()))}
    assert after["cable-control-8x24"] == "4"


def test_a_plan_that_cannot_be_is_refused(user):
    with_plan(user)
    plan = user.here / "plan.toml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("shed/ridge", "shed/bridge"), encoding="utf-8")
    assert "plan.toml:" in user.refused("order", "plan.toml")
