"""Every command, run as a user runs it: a child process in an empty folder with an empty home."""

import json
import re

import pytest

from boardgen import __version__
from boardgen.model.roles import ROLES
from tests.cli.empty_folder import BUILT, TEMPLATES, TITLES, built_of, listed, tree

COMMANDS = ("start", "values", "build", "compare", "explore", "measured", "completion")
PROMISED_KEYS = {
    "role", "subject", "required", "unit", "bound", "chosen", "achieved", "basis", "at_hz", "part", "margin",
    "formula", "source", "standing",
}  # fmt: skip
PROMISED_ROLES = {
    "turns", "winding inductance", "winding reactance", "winding loss resistance", "choke", "blocking capacitor",
    "rail capacitor", "termination", "bleeder", "relay voltage", "control loop resistance", "longest cable",
    "conductors",
}  # fmt: skip


# help


@pytest.mark.parametrize("words", [(), ("--help",), ("-h",)])
def test_help_lists_every_command_and_every_exit_code(user, words):
    said = user.good(*words)
    assert all(re.search(rf"\b{command} ", said) for command in COMMANDS)
    assert all(f"{code} " in said for code in range(4))
    assert max(map(len, said.splitlines())) <= 80


@pytest.mark.parametrize(
    ("command", "options"),
    [
        ("start", {"--ways", "--template", "--json", "--quiet", *TEMPLATES}),
        ("values", {"--lowest", "--highest", "--impedance", "--region", "--parts", "--json", "--quiet"}),
        (
            "build",
            {"--lowest", "--boards", "--spares", "--currency", "--out", "--parts", "--prices", "--pdf", "--json"},
        ),
        ("compare", {"--picture", "--lowest", "--boards", "--parts", "--prices", "--json"}),
        ("explore", {"--over", "--keep", "--workers", "--out", "--lowest", "--prices", "--json"}),
        ("measured", {"--as", "--line", "--reference", "--out", "--json"}),
        ("completion", {"bash", "zsh", "fish", "powershell"}),
    ],
)
def test_help_of_a_command_names_its_options(user, command, options):
    said = user.good(command, "--help")
    assert said.startswith(f"Usage: boardgen {command} ")
    assert all(option in said for option in options)
    assert max(map(len, said.splitlines())) <= 80


def test_version(user):
    assert user.good("--version") == f"{__version__}\n"


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("frob",), "frob"),
        (("buld", "board.toml"), "build"),
        (("build",), "SPEC"),
        (("compare",), "SPEC"),
        (("start",), "FILE"),
        (("completion",), "SHELL"),
        (("build", "board.toml", "--frob"), "--frob"),
        (("build", "board.toml", "--lowest"), "--lowest"),
        (("build", "board.toml", "--lowest", "2 MHz", "--lowest", "3 MHz"), "--lowest"),
        (("values", "board.toml", "second.toml"), "second.toml"),
        (("compare", "board.toml", "second.toml", "third.toml"), "third.toml"),
        (("start", "new.toml", "--ways", "many"), "many"),
        (("start", "new.toml", "--ways", "0"), "0 antennas"),
        (("start", "new.toml", "--ways", "17"), "17 antennas"),
        (("start", "new.toml", "--ways=-1"), "-1 antennas"),
        (("start", "new.toml", "--template", "fourway"), "four-way"),
        (("start", "new.toml", "--template", "../templates/four-way"), "there is no template"),
        (("completion", "tcsh"), "tcsh"),
        (("compare", "board.toml"), "nothing to compare"),
        (("explore", "board.toml", "--over", "idle"), "KEY=VALUE"),
        (("explore", "board.toml", "--over", "switching.idle=opne"), "switching.idle"),
        (("explore", "board.toml", "--workers", "0"), "--workers 0"),
        (("measured", "board.toml", "north.s2p", "--as", "a", "--as", "b"), "--as"),
        (("measured", "board.toml", "north.s2p", "--line", "long"), "--line long"),
    ],
)
def test_wrong_use_is_told_in_a_line_or_two(user, words, named):
    user.start()
    message = user.refused(*words)
    assert named in message
    assert 1 <= message.count("\n") <= 2
    assert "[" not in message.split("  [")[0]


def test_wrong_use_is_told_as_json_too(user):
    for words in (("build", "none.toml"), ("frob",), ("values",), ("start", "new.toml", "--ways", "many")):
        done = user.run(*words, "--json")
        document = json.loads(done.stdout)
        assert done.returncode == 2
        assert document["schema"] == "boardgen faults 1"
        assert document["faults"][0]["found"]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_knows_the_commands_and_their_options(user, shell):
    script = user.good("completion", shell, apart=True)
    assert all(word in script for word in (*COMMANDS, "lowest", "template"))
    assert tree(user.top) == {"here": None, "home": None, "temporary": None}


# start


@pytest.mark.slow
@pytest.mark.parametrize("template", TEMPLATES)
def test_every_template_starts_and_builds_with_nothing_short(user, template):
    said = user.good("start", "board.toml", "--template", template)
    assert "board.toml" in said
    assert template in said
    done = user.run("build", "board.toml")
    assert (done.returncode, done.stderr) == (0, ""), done.stdout
    assert "falls short" not in done.stdout
    assert listed(user.built(TITLES[template])) == built_of(template)


@pytest.mark.parametrize("ways", range(1, 17))
def test_any_number_of_ways_sizes_with_nothing_short(user, ways):
    user.good("start", "board.toml", "--ways", str(ways))
    document = json.loads(user.good("values", "board.toml", "--json"))
    conductors = [v for v in document["values"] if v["role"] == "conductors"]
    assert [v["required"] >= ways for v in conductors] == [True]
    assert (user.here / "board.toml").read_text(encoding="utf-8").count("\n[[antenna]]") == ways


@pytest.mark.parametrize("template", ["four-way-feeds", "four-way-cascaded", "four-way-472-khz", "two-way"])
@pytest.mark.parametrize("ways", ["1", "16"])
def test_a_template_takes_other_numbers_of_ways(user, template, ways):
    user.good("start", "board.toml", "--template", template, "--ways", ways)
    assert user.run("values", "board.toml", "--quiet").returncode in (0, 1)


def test_start_writes_over_nothing(user):
    for name in ("file.toml", "folder", "link.toml", "dangling.toml"):
        there = user.here / name
        if name == "folder":
            there.mkdir()
        elif name == "file.toml":
            there.write_text("mine")
        else:
            there.symlink_to("file.toml" if name == "link.toml" else "nowhere.toml")
        message = user.refused("start", name)
        assert name in message
        assert "exists" in message


def test_start_says_as_json_what_it_did(user):
    document = json.loads(user.good("start", "board.toml", "--ways", "3", "--json"))
    assert document == {
        "schema": "boardgen start 1",
        "file": "board.toml",
        "template": "four-way",
        "shortfalls": [],
    }


# values


def test_values_tells_each_value_and_why(user):
    user.start()
    said = user.good("values", "board.toml")
    table, why = said.split("\nwhy\n")
    assert {"needed", "chosen", "achieved", "margin"} <= set(re.split(r"  +", table.splitlines()[2]))
    for role in ("board turns", "relay voltage", "longest cable", "bleeder", "termination"):
        assert re.search(rf"^{role} +[=≥≤] \S", table, re.MULTILINE)
        assert re.search(rf"^{role} \(.+\)\n    \S", why, re.MULTILINE)


def test_values_as_json_keeps_what_is_promised(user):
    user.start("four-way-feeds")
    document = json.loads(user.good("values", "board.toml", "--json"))
    assert document["schema"] == "boardgen values 1"
    assert document["shortfalls"] == []
    assert {value["role"] for value in document["values"]} >= PROMISED_ROLES
    for value in document["values"]:
        assert value.keys() >= PROMISED_KEYS
        assert value["unit"] == ROLES[value["role"]].unit
        assert value["bound"] in ("at least", "at most", "equal")
        assert value["standing"] in ("read", "recalled", "assumed", "computed", "measured")
        assert all(isinstance(value[key], int | float) for key in ("required", "chosen", "achieved"))
        assert value["at_hz"] is None or 1.8e6 <= value["at_hz"] <= 10.15e6
        assert value["margin"] is None or value["margin"] >= 1.0
        assert value["formula"]
        assert value["source"]


def test_an_override_moves_the_values(user):
    user.start()

    def turns(*override: str) -> float:
        values = json.loads(user.good("values", "board.toml", "--json", *override))["values"]
        return next(v["chosen"] for v in values if v["role"] == "turns")

    assert turns("--lowest", "472 kHz") > turns() == turns("--lowest", "160 m")


@pytest.mark.slow
def test_what_falls_short_gives_exit_1_and_is_listed(user):
    spec = user.start()
    spec.write_text(spec.read_text(encoding="utf-8").replace('"120 m"', '"2 km"'), encoding="utf-8")
    for command in ("values", "build"):
        done = user.run(command, "board.toml")
        assert (done.returncode, done.stderr) == (1, "")
        assert "\nfalls short:\n  " in done.stdout
        document = json.loads(user.run(command, "board.toml", "--json").stdout)
        assert document["shortfalls"]
        assert all(p["id"] and p["found"] for p in document["shortfalls"])


# build


@pytest.mark.slow
def test_build_leaves_nothing_but_the_output_folder(user):
    user.start()
    user.good("build", "board.toml", apart=True)
    folder = f"here/output/{TITLES['four-way']}"
    made = {f"{folder}/{name}" for name in ("board-editor", "board-editor/footprints.pretty", "fabrication")}
    folders = {"here", "here/output", folder, *made, "home", "temporary"}
    assert listed(tree(user.top)) == folders | {"here/board.toml"} | {f"{folder}/{name}" for name in BUILT}


@pytest.mark.slow
def test_build_says_what_it_made(user):
    user.start()
    said = user.good("build", "board.toml")
    assert said.startswith("Larkfield four-way, revision A\n")
    assert re.search(r"^winding +\d+ turns on ", said, re.MULTILINE)
    assert re.search(r"^price +\d+\.\d\d CAD of goods for one board", said, re.MULTILINE)
    assert re.search(r"^verdict +meets all 4 targets$", said, re.MULTILINE)
    folder = f"output/{TITLES['four-way']}"
    files = [path for path in (user.here / folder).rglob("*") if path.is_file()]
    assert said.splitlines()[-1] == f"{len(files)} files written to {folder}; open book.html first"


@pytest.mark.slow
def test_build_as_json_is_one_document(user):
    user.start()
    document = json.loads(user.good("build", "board.toml", "--json"))
    assert document["schema"] == "boardgen build 1"
    assert document["folder"] == f"output/{TITLES['four-way']}"
    assert listed(document["files"]) == BUILT
    assert document["ports"] == 5
    assert document["shortfalls"] == []
    values = json.loads(user.built()["values.json"])
    assert values["schema"] == "boardgen values 1"
    assert values["values"] == json.loads(user.good("values", "board.toml", "--json"))["values"]


@pytest.mark.slow
def test_build_takes_overrides_and_another_folder(user):
    user.start()
    words = ("--out", "made/here", "--boards", "3", "--currency", "EUR", "--spares", "0 %", "--json")
    document = json.loads(user.good("build", "board.toml", *words))
    assert (document["bill"]["boards"], document["bill"]["currency"]) == (3, "EUR")
    assert listed(user.built(out="made/here")) == BUILT
    overrides = json.loads(user.built(out="made/here")["manifest.json"])["inputs"]["overrides"]
    assert overrides == {"order.boards": "3", "order.currency": "EUR", "order.spares": "0 %"}


@pytest.mark.slow
@pytest.mark.parametrize("words", [("values", "board.toml"), ("build", "board.toml"), ("start", "new.toml")])
def test_quiet_says_nothing(user, words):
    user.start()
    assert user.good(*words, "--quiet") == ""


# compare


def test_compare_shows_what_a_lower_band_changes(user):
    user.start()
    said = user.good("compare", "board.toml", "--lowest", "472 kHz")
    assert re.search(r"^board turns +4 \S+ +7 \S+ ", said, re.MULTILINE)
    assert re.search(r"^\d+ parts differ$", said, re.MULTILINE)
    assert re.search(r"^the order +[\d.]+ CAD for 1 board +[\d.]+ CAD for 1 board$", said, re.MULTILINE)
    assert re.search(r"^copper +predicted as laid out +predicted as laid out$", said, re.MULTILINE)
    assert re.search(r"^costs: .* h of handwork$", said, re.MULTILINE)
    assert set(tree(user.here)) == {"board.toml"}


def test_compare_of_two_files(user):
    user.start()
    user.start("four-way-cascaded", "other.toml")
    document = json.loads(user.good("compare", "board.toml", "other.toml", "--json"))
    assert document["schema"] == "boardgen comparison 1"
    assert document["before"]["title"] == TITLES["four-way"]
    assert document["after"]["title"] == TITLES["four-way-cascaded"]
    relays = next(p for p in document["parts"] if p["part"].startswith("relay-"))
    assert float(relays["after"]) == 2 * float(relays["before"])


def test_compare_of_a_file_with_itself_finds_nothing(user):
    user.start()
    document = json.loads(user.good("compare", "board.toml", "board.toml", "--json"))
    assert document["values"] == document["parts"] == []
    assert document["before"] == document["after"]
    said = user.good("compare", "board.toml", "board.toml")
    assert "gains: nothing beyond what is not known" in said
    assert said.endswith("\n0 values differ\n\n0 parts differ\n")
