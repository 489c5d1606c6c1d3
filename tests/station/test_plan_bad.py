"""Plans that cannot be: each fault at its file, line and key, with a sentence that says what would work."""

import re
from pathlib import Path

import pytest

from boardgen.model.problem import InputError
from boardgen.spec.template import station_files
from boardgen.station.load import load_plan

FILES = station_files("two-boxes")
PLAN = FILES["station.toml"]


def written(folder, plan=PLAN, **boxes):
    """The template station with another plan or other boxes."""
    for name, text in {**FILES, "station.toml": plan, **{f"{n}.toml": t for n, t in boxes.items()}}.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder / "station.toml"


def refused(path):
    with pytest.raises(InputError) as caught:
        load_plan(path)
    return caught.value.problems


def replaced(old, new, count=1):
    assert PLAN.count(old) >= count
    return PLAN.replace(old, new, count)


BAD = {
    "too few outputs": (
        replaced("outputs  = 10", "outputs  = 7"),
        "source.outputs",
        r"need 10 outputs, there are 7; what would do: 10 outputs, or together = true with 6 outputs, boxes sharing",
    ),
    "too few conductors": (
        replaced('conductors = 8, length = "90 m"', 'conductors = 6, length = "90 m"'),
        "box[1].control",
        r'"dune" needs 5 lines and 2 returns, the cable has 6 conductors; what would do: cables = 2, or returns = 1',
    ),
    "two boxes with one name": (replaced('"heath"', '"Dune"'), "box[2].name", r'"Dune" is also the name of box 1'),
    "a name in plain letters": (
        replaced('"heath"', '"d\u00fcne"'),
        "box[2].name",
        r"becomes \"dune\" in plain letters",
    ),
    "a reserved name": (replaced('"heath"', '"selector"'), "box[2].name", "stands for another part of the station"),
    "no such antenna": (
        replaced('"dune/north"', '"dune/nort"'),
        "direction[1].antenna",
        r'the box "dune" has no antenna "nort"; it has "north", "north-east"',
    ),
    "no such box": (replaced('"dune/north"', '"dun/north"'), "direction[1].antenna", r'no box "dun"; the boxes are'),
    "no box named": (replaced('"dune/north"', '"north"'), "direction[1].antenna", r"write box and antenna"),
    "labels that clash": (replaced('label   = "south"', 'label   = "North"'), "direction[6].label", "also the label"),
    "no such remote": (
        replaced('"pair switch a"        #', '"pair switch"        #'),
        "direction[4].remote",
        "known are",
    ),
    "a remote without a feed": (
        replaced('antenna = "dune/east or west"', 'antenna = "dune/north"'),
        "remote[1].antenna",
        'no feed goes up the coax of "dune/north"; write feed =',
    ),
    "two remotes on a coax": (
        replaced('antenna = "heath/south-east or north-west"', 'antenna = "dune/east or west"'),
        "remote[2].antenna",
        'already feeds "pair switch a"',
    ),
    "no such rest": (replaced('rest     = "dune"', 'rest     = "marsh"'), "receiver.rest", "there is no box"),
    "rest against itself": (
        replaced('spec    = "dune.toml"', 'spec    = "dune.toml"\nrest    = false'),
        "box[1].rest",
        "whose box has rest = false",
    ),
    "together with a switch": (
        replaced('"relay outputs"', '"manual switch"').replace("together = false", "together = true"),
        "source.together",
        "one position on at a time",
    ),
    "a switch without a position for off": (
        replaced('"relay outputs"', '"manual switch"').replace("together = false", ""),
        "source.outputs",
        r"need 11 positions, one of them for off, there are 10; what would do: 11 positions, or off_position = false, "
        r'with a switch in the supply for off, or switches = "two" of 6 positions each, or switches = "one a box" of 6',
    ),
    "a contact that leaks": (
        replaced("together = false", 'leakage = "1 uA"'),
        "source.leakage",
        "lets nothing through",
    ),
    "an off position of outputs": (
        replaced("together = false", "off_position = false"),
        "source.off_position",
        "no position for off",
    ),
    "open drain before boxes that want plus": (
        replaced('"relay outputs"', '"open drain"'),
        "box[1].spec",
        'is driven on the high side; the source switches the low side of its coils: set drive = "low side"',
    ),
    "a pair of one": (
        replaced('antenna = "dune/north"', 'antenna = "dune/north"\nbeside = "dune/north"'),
        "direction[1].beside",
        "is the antenna itself",
    ),
    "a pair of two boxes": (
        replaced('antenna = "dune/north"', 'antenna = "dune/north"\nbeside = "heath/south"'),
        "direction[1].beside",
        "not in the box",
    ),
    "a pair with an unknown antenna": (
        replaced('antenna = "dune/north"', 'antenna = "dune/north"\nbeside = "dune/nort"'),
        "direction[1].beside",
        'has no antenna "nort"',
    ),
    "poles of relays": (replaced("together = false", "poles = 2"), "source.poles", "those of a manual switch"),
    "returns take all": (replaced("returns = 2", "returns = 8"), "box[1].control", "8 returns take all 8 conductors"),
    "an unknown key": (replaced("bearing = ", "baering = "), "direction[1].baering", 'Did you mean "bearing"'),
    "a table in the wrong place": (replaced("[receiver]", "[reciever]"), "reciever", "Did you mean"),
    "a wrong unit": (replaced('"0 deg"', '"0 rad"'), "direction[1].bearing", "degrees"),
    "out of range": (replaced('"0 deg"', '"370 deg"'), "direction[1].bearing", "too high"),
    "no source": (PLAN.replace("[source]", "[source]\nsupply = 3\n[[remote]]"), "source.outputs", "write outputs = 8"),
    "no such specification": (replaced('"dune.toml"', '"dunes.toml"'), "box[1].spec", "there is no file"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_plan_is_refused_at_its_key(tmp_path, name):
    text, key, sentence = BAD[name]
    path = written(tmp_path, text)
    problems = [p for p in refused(path) if p.place.key == key]
    assert any(re.search(sentence, p.sentence) for p in problems), refused(path)
    for problem in problems:
        assert problem.severity == "error"
        if key:
            assert Path(problem.place.file) == path
            line = text.splitlines()[problem.place.line - 1]
            assert re.split(r"[.\[]", key)[-1 if "[" not in key.split(".")[-1] else 0] in line or "[" in line


def test_open_drain_outputs_give_no_feed(tmp_path):
    boxes = {name: FILES[f"{name}.toml"].replace('"high side"', '"low side"') for name in ("dune", "heath")}
    found = refused(written(tmp_path, replaced('"relay outputs"', '"open drain"'), **boxes))
    assert {(p.id, p.place.key) for p in found} == {("P029 drive", f"box[{n}].spec") for n in (1, 2)}
    assert all("open-drain outputs give no volts" in p.sentence for p in found)


def test_several_outputs_at_once_would_do(tmp_path):
    """Two pairs on one shared feed line: four choices over three loads, so that three outputs at once suffice."""
    feed = '"north"\nfeed = "12 V 60 mA"'
    dune = FILES["dune.toml"].replace('"north"', feed, 1).replace('feed_lines       = "own"', 'feed_lines = "shared"')
    more = '[[remote]]\nname = "c"\nantenna = "dune/north"\n'
    back = '[[direction]]\nlabel = "back"\nbearing = "180 deg"\nantenna = "dune/north"\nremote = "c"\n'
    text = PLAN + more + back
    [problem] = refused(written(tmp_path, text, dune=dune))
    assert problem.id == "P033 too few outputs"
    assert "need 11 outputs, there are 10" in problem.sentence
    assert "or together = true with 10 outputs, or fewer directions" in problem.sentence
    load_plan(written(tmp_path, text.replace("together = false", "together = true"), dune=dune))


def test_all_faults_of_all_files_at_once(tmp_path):
    heath = FILES["heath.toml"].replace('"1.8 MHz"', '"1.8 mHz"')
    text = replaced('"0 deg"', '"0 rad"').replace("outputs  = 10", "outputs  = 0")
    problems = refused(written(tmp_path, text, heath=heath))
    assert {(Path(p.place.file).name, p.place.key) for p in problems} == {
        ("station.toml", "direction[1].bearing"),
        ("station.toml", "source.outputs"),
        ("heath.toml", "band.lowest"),
    }


def test_low_side_drive_is_refused(tmp_path):
    dune = FILES["dune.toml"].replace('"high side"', '"low side"')
    [problem] = refused(written(tmp_path, dune=dune))
    assert (problem.id, problem.place.key) == ("P029 drive", "box[1].spec")
    assert 'set drive = "high side"' in problem.sentence


def test_a_feed_that_follows_cannot_be_off(tmp_path):
    dune = FILES["dune.toml"].replace('feed_lines       = "own"', 'feed_lines       = "with selection"')
    [problem] = refused(written(tmp_path, dune=dune))
    assert (problem.id, problem.place.key) == ("P028 feed follows", "direction[3].remote")


def test_coils_of_two_voltages_are_refused(tmp_path):
    heath = FILES["heath.toml"].replace('coil       = "12 V"', 'coil       = "24 V"')
    assert [p.id for p in refused(written(tmp_path, heath=heath))] == ["P031 coils"]


def test_the_plan_wins_over_a_box(tmp_path):
    loaded = load_plan(written(tmp_path))
    dune = loaded.specs["dune"]
    assert (dune.control.length, dune.feeder.length, dune.feeder.cable) == (90.0, 150.0, "RG-6 copper centre")
    assert loaded.specs["heath"].control.length == 75.0
