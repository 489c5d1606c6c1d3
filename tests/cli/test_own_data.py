"""A user's own parts, footprint names and prices, given on the command line."""

import csv
import io
import json
import re
from pathlib import Path

import pytest

from tests.cli.empty_folder import User

RELAY = """
[[part]]
key = "relay-own-12"
kind = "relay"
maker = "Own"
number = "OWN-12"
value = "12 V"
description = "own relay"
footprint = "relay-ten-pin-7.62"
standing = "read"
source = "own sheet"
attributes = { contacts = "gold-clad" }
figures = { "coil voltage" = "12 V", "coil resistance" = "1200 ohm +-10 %", "must operate" = "8.4 V", \
"must release" = "1.2 V", "maximum coil voltage" = "20 V", "coil power" = "120 mW", \
"lowest temperature" = "-40 degC", "highest temperature" = "85 degC" }
[part.pins]
"coil +" = "1"
"coil -" = "10"
"pole A common" = "3"
"pole A normally closed" = "2"
"pole A normally open" = "4"
"pole B common" = "8"
"pole B normally closed" = "9"
"pole B normally open" = "7"
"""
HEADING = "part,supplier,order_code,currency,quantity,unit_price,minimum,multiple,stock,lead_days,as_of,source\n"
PRICE = "{part},Own Shop,OWN-1,CAD,1,{price},,,,,2026-01-02,own quotation\n"


def lines(user: User) -> list[dict[str, str]]:
    """The rows of bill.csv below its heading, by column."""
    text = user.built()["bill.csv"].decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    at = next(n for n, row in enumerate(rows) if len(row) > 5)
    return [dict(zip(rows[at], row, strict=False)) for row in rows[at + 1 :] if len(row) > 5]


def own_folder(user: User, **files: str) -> Path:
    folder = user.here / "own"
    folder.mkdir()
    for name, text in files.items():
        (folder / name.replace("__", ".")).write_text(text, encoding="utf-8")
    return folder


def shipped_prices() -> str:
    """The demonstration prices, relays left out."""
    text = (Path(__file__).parents[2] / "parts/prices/demo-cad.csv").read_text(encoding="utf-8")
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith("relay-"))


@pytest.mark.slow
def test_an_own_relay_is_preferred_and_an_own_price_is_taken(user):
    user.start()
    own_folder(user, relays__toml=RELAY)
    (user.here / "prices.csv").write_text(shipped_prices() + PRICE.format(part="relay-own-12", price="7.77"))
    values = json.loads(user.good("values", "board.toml", "--parts", "own", "--json"))["values"]
    assert {v["part"] for v in values if v["role"] == "relay voltage"} == {"relay-own-12"}
    words = ("--parts", "own", "--prices", "prices.csv", "--spares", "0 %")
    document = json.loads(user.good("build", "board.toml", *words, "--json"))
    assert document["bill"]["unpriced"] == []
    assert "OWN-12" in user.built()["netlist.net"].decode()
    (relay,) = (row for row in lines(user) if "OWN-12" in row.values())
    assert {"7.77", "31.08", "Own Shop", "OWN-1"} <= set(relay.values())
    manifest = json.loads(user.built()["manifest.json"])
    assert [entry["name"] for entry in manifest["inputs"]["own parts"]] == ["relays.toml"]
    assert [entry["name"] for entry in manifest["inputs"]["prices"]] == ["prices.csv"]


@pytest.mark.slow
def test_a_part_without_a_price_is_a_shortfall(user):
    user.start()
    own_folder(user, relays__toml=RELAY)
    done = user.run("build", "board.toml", "--parts", "own", "--json")
    document = json.loads(done.stdout)
    assert done.returncode == 1
    assert document["bill"]["unpriced"] == ["relay-own-12"]
    assert [p["id"] for p in document["shortfalls"]] == ["price-missing"]


@pytest.mark.slow
def test_own_footprint_names_stand_in_the_netlist(user):
    user.start()
    own_folder(user, footprint_names__csv="footprint,name\nrelay-ten-pin-7.62,Mine:Relay_10\n")
    user.good("build", "board.toml", "--parts", "own")
    netlist = user.built()["netlist.net"].decode()
    assert netlist.count('(footprint "Mine:Relay_10")') == 4
    assert not re.search(r'\(footprint "[^"]*relay-ten-pin-7.62"\)', netlist)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name,footprint\nx,y\n", "footprint_names.csv:1"),
        ("footprint,name\nx\n", "footprint_names.csv:2"),
        ("footprint,name\nx,\n", "footprint_names.csv:2"),
        ("", "footprint_names.csv:1"),
        ("footprint,name\nx,y\nx,z\n", "x has more than one name"),
        ("footprint,name,pads\nx,y,1:2;2\n", "pads is 1:2;2"),
        ("footprint,name,pads\nx,y,1:2;2:2\n", "pads is 1:2;2:2"),
        ("footprint,name,turn_deg\nx,y,45\n", "turn_deg is 45"),
        ('footprint,name\nx,"a""b\n', "footprint_names.csv"),
    ],
)
def test_wrong_footprint_names_are_refused(user, text, said):
    user.start()
    own_folder(user, footprint_names__csv=text)
    assert said in user.refused("build", "board.toml", "--parts", "own")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[part]\n", "own/relays.toml"),
        (RELAY.replace('"1200 ohm +-10 %"', '"1200 V"'), "coil resistance"),
        (RELAY.replace('kind = "relay"', 'kind = "relais"'), "relais"),
        (RELAY.replace('"coil +" = "1"', '"coil +" = "3"'), "relays.toml"),
        (RELAY.replace("relay-ten-pin-7.62", "none"), "none"),
        (RELAY + RELAY, "relay-own-12"),
    ],
)
@pytest.mark.parametrize("command", ["values", "build"])
def test_wrong_parts_are_refused(user, command, text, said):
    user.start()
    own_folder(user, relays__toml=text)
    message = user.refused(command, "board.toml", "--parts", "own")
    assert said in message
    assert "own/relays.toml" in message


@pytest.mark.slow
def test_bad_rows_of_a_price_file_are_named_and_the_rest_holds(user):
    user.start()
    good = shipped_prices() + PRICE.format(part="relay-tq2-12", price="4.00")
    bad = [
        PRICE.format(part="relay-tq2-12", price="-1"),
        PRICE.format(part="relay-tq2-12", price="free"),
        PRICE.format(part="", price="1"),
        "too,short\n",
        PRICE.format(part="relay-tq2-12", price="4.00").replace("2026-01-02", "yesterday"),
    ]
    (user.here / "prices.csv").write_text(good + "".join(bad))
    first = good.count("\n") + 1
    done = user.run("build", "board.toml", "--prices", "prices.csv", "--spares", "0 %", "--json")
    assert (done.returncode, done.stderr) == (1, "")
    document = json.loads(done.stdout)
    named = [(p["file"], p["line"]) for p in document["shortfalls"]]
    assert named == [("prices.csv", first + n) for n in range(len(bad))]
    (relay,) = (row for row in lines(user) if "TQ2-12V" in row.values())
    assert {"4.00", "16.00", "Own Shop"} <= set(relay.values())
    said = user.run("build", "board.toml", "--prices", "prices.csv").stdout
    assert all(f"prices.csv:{first + n}: " in said for n in range(len(bad)))


@pytest.mark.parametrize(
    ("option", "name", "said"),
    [
        ("--prices", "none.csv", "No such file"),
        ("--prices", "empty", "no *.csv"),
        ("--prices", "latin.csv", "not UTF-8"),
        ("--prices", "/dev/zero", "not a regular file"),
        ("--prices", "huge.csv", "larger than"),
        ("--parts", "none", "not a folder"),
        ("--parts", "latin.csv", "not a folder"),
    ],
)
def test_wrong_places_of_data_are_refused(user, option, name, said):
    user.start()
    (user.here / "empty").mkdir()
    (user.here / "latin.csv").write_bytes(HEADING.encode() + b"S\xfcd\n")
    with (user.here / "huge.csv").open("wb") as file:
        file.truncate(20_000_000)
    message = user.refused("build", "board.toml", option, name)
    assert said in message
    assert name in message


@pytest.mark.slow
def test_an_earlier_choice_is_kept(user):
    spec = user.start("four-way-feeds")
    text = spec.read_text(encoding="utf-8")

    def parts(role: str) -> set[str]:
        values = json.loads(user.run("values", "board.toml", "--json").stdout)["values"]
        return {v["part"] for v in values if v["role"] == role}

    ours = parts("blocking capacitor")
    earlier = user.run("values", "board.toml", "--json", "--lowest", "472 kHz").stdout
    (user.here / "earlier.json").write_text(earlier, encoding="utf-8")
    spec.write_text(f'{text}\n[parts]\nkeep = "earlier.json"\n', encoding="utf-8")
    kept = parts("blocking capacitor")
    assert len(kept) == 1
    assert kept.isdisjoint(ours)
    assert f'"{kept.pop()}"' in earlier


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("none.json", None),
        ("broken.json", b"{"),
        ("list.json", b"[]"),
        ("latin.json", b'"\xff"'),
        ("deep.json", b"[" * 99999),
        ("folder", None),
        ("/dev/zero", None),
    ],
)
def test_earlier_choices_that_cannot_be_read_are_refused(user, name, content):
    spec = user.start()
    (user.here / "folder").mkdir()
    if content is not None:
        (user.here / name).write_bytes(content)
    spec.write_text(spec.read_text(encoding="utf-8") + f'\n[parts]\nkeep = "{name}"\n', encoding="utf-8")
    message = user.refused("values", "board.toml")
    assert re.match(r"board\.toml:\d+: parts\.keep: ", message)
    assert name in message


@pytest.mark.slow
def test_prices_among_own_parts_take_the_place_of_ours(user):
    user.start()
    own = own_folder(user)
    (own / "prices").mkdir()
    (own / "prices" / "mine.csv").write_text(
        HEADING + PRICE.format(part="relay-tq2-12", price="2.50"), encoding="utf-8"
    )
    done = user.run("build", "board.toml", "--parts", str(own), "--json")
    assert done.returncode == 1
    unpriced = json.loads(done.stdout)["bill"]["unpriced"]
    assert "relay-tq2-12" not in unpriced
    values = json.loads(user.built()["values.json"])["values"]
    assert {v["part"] for v in values if v["role"] == "turns"} <= set(unpriced)
