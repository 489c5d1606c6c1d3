"""boardgen station as a user runs it: in an empty folder, with the template station and with planted faults."""

import csv
import io
import json
from typing import get_args

import pytest

from boardgen.documents.json.schemas import schemas
from boardgen.station.faults import Kind
from tests.cli.empty_folder import built_of, tree
from tests.documents.json_schema import broken

OWN = {
    "conductors.csv", "faults.csv", "manifest.json", "paths.csv", "proof.csv", "selection.csv", "selection.json",
    "needs.json", "selection.schema.json", "station.json", "steering.csv",
}  # fmt: skip
TITLE = "Curlew Flats"


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """The template station, built once: its user, what was said, and the files."""
    from tests.cli.empty_folder import User

    user = User(tmp_path_factory.mktemp("station"))
    user.good("start", "plan.toml", "--template", "two-boxes")
    said = user.good("station", "plan.toml", "--json")
    return user, json.loads(said), user.built(TITLE)


def rows(files, name):
    return list(csv.DictReader(io.StringIO(files[name].decode())))


def test_start_writes_a_plan_and_its_boxes(user):
    said = user.good("start", "plan.toml", "--template", "two-boxes")
    assert set(tree(user.here)) == {"plan.toml", "dune.toml", "heath.toml"}
    assert "boardgen station plan.toml" in said


def test_start_writes_all_or_nothing(user):
    (user.here / "heath.toml").write_text("mine")
    assert "exists already" in user.refused("start", "plan.toml", "--template", "two-boxes")
    assert "is a station" in user.refused("start", "other.toml", "--template", "two-boxes", "--ways", "3")


@pytest.mark.slow
def test_every_file_is_there_and_in_one_manifest(built):
    _, said, files = built
    boards = {
        f"boxes/{box}/{name}"
        for box in ("dune", "heath")
        for name in built_of("four-way", f"Curlew Flats {box} box") - {"manifest.json"}
    }
    assert OWN | boards <= set(files)
    manifest = json.loads(files["manifest.json"])
    assert set(manifest["files"]) == set(files) - {"manifest.json"}
    assert [name for name in files if name.endswith("manifest.json")] == ["manifest.json"]
    assert set(said["files"]) == set(files)
    assert set(manifest["inputs"]["boxes"]) == {"boxes/dune", "boxes/heath"}
    assert manifest["inputs"]["plan"]["name"] == "plan.toml"


def test_the_selection_table_is_the_plan(built):
    _, _, files = built
    table = json.loads(files["selection.json"])
    assert table["schema"] == "boardgen selection 1"
    assert table["rest"] == {"feeder": "dune", "outputs": []}
    by_label = {d["label"]: d for d in table["directions"]}
    assert len(by_label) == 10
    west = by_label["west"]
    assert (west["remote"], west["feeds"]) == ("pair switch a", [{"box": "dune", "antenna": "east or west"}])
    assert by_label["east"]["feeds"] == []
    assert {r["board"] for r in by_label["south"]["relays"]} == {"heath", "selector"}
    assert [len(d["outputs"]) for d in table["directions"]] == [1] * 10
    lines = rows(files, "selection.csv")
    assert [row["direction"] for row in lines] == ["at rest", *by_label]
    assert lines[1]["conductors live"] == "dune white/green"


def test_the_selection_table_is_as_its_schema_says(built):
    _, _, files = built
    schema, table = json.loads(files["selection.schema.json"]), json.loads(files["selection.json"])
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert broken(table, schema) == []
    for spoilt in ({**table, "rest": {}}, {**table, "more": 1}, {**table, "title": 3}):
        assert broken(spoilt, schema) != []
    summary = json.loads(schemas()["station.schema.json"])
    assert broken(json.loads(files["station.json"]), summary) == []


def test_every_reading_has_its_limits_beside_it(built):
    _, said, files = built
    proof = rows(files, "proof.csv")
    assert len(proof) == 11 * 4 * 11
    assert {row["result"] for row in proof} == {"operates", "stays released"}
    for row in proof:
        volts, on, off = (float(row[k]) for k in ("volts", "must operate, V", "must release, V"))
        assert volts >= on if row["wanted"] == "yes" else volts <= off
    faults = rows(files, "faults.csv")
    assert {row["fault"] for row in faults} == set(get_args(Kind))
    assert said["faults"]["proved"] == len({(row["fault"], row["where"]) for row in faults})


def test_conductors_keep_pairs_together(built):
    _, _, files = built
    dune = [row for row in rows(files, "conductors.csv") if row["box"] == "dune"]
    assert [row["carries"] for row in dune[:2]] == ["select east or west", "feed east or west"]
    assert [row["carries"] for row in dune[-2:]] == ["0V", "0V"]
    assert [row["colour"] for row in dune] == [
        "white/orange", "orange", "white/green", "blue", "white/blue", "green", "white/brown", "brown",
    ]  # fmt: skip
    assert all(float(row["most current, A"]) < 0.1 for row in dune)


def test_prove_reads_the_boards_back(built):
    user, _, _ = built
    assert ", 3 boards: proved" in user.good("prove", f"output/{TITLE}")


@pytest.mark.slow
def test_the_same_plan_gives_the_same_bytes(built):
    user, _, files = built
    done = user.good("station", "plan.toml", "--out", "again", "--quiet", PYTHONHASHSEED="7")
    assert done == ""
    assert user.built(TITLE, "again") == files


def test_a_plan_that_falls_short_says_what_would_work(user):
    """One box of two at the end of a cable that is too long."""
    user.start("two-way", "hut.toml")
    (user.here / "long.toml").write_text(
        '[source]\noutputs = 2\n[[box]]\nname = "hut"\nspec = "hut.toml"\ncontrol = { length = "2000 m" }\n'
        + "".join(
            f'[[direction]]\nlabel = "{label}"\nbearing = "{bearing} deg"\nantenna = "hut/{label}"\n'
            for label, bearing in (("marsh", 90), ("ridge", 270))
        ),
        encoding="utf-8",
    )
    done = user.run("station", "long.toml")
    assert done.returncode == 1, done.stderr
    assert "long.toml:6: box[1].control: hut K1" in done.stdout
    assert "It works up to" in done.stdout
    assert "AWG at this length" in done.stdout


def test_a_bad_plan_writes_nothing(user):
    user.good("start", "plan.toml", "--template", "two-boxes")
    plan = user.here / "plan.toml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("outputs  = 10", "outputs  = 4"), encoding="utf-8")
    said = user.refused("station", "plan.toml")
    assert "plan.toml:" in said
    assert "what would do: 10 outputs" in said
    assert "nothing was written" in said
