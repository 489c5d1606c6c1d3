"""The proof of a built folder: nothing in a good one, and every planted fault though the archive is renewed."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from boardgen.cli.options import Talk
from boardgen.cli.prove import run
from boardgen.formats.manifest import MANIFEST, Origin, differences, manifest
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.model.board_house import BoardHouse
from boardgen.proof import built
from boardgen.proof.built import NETLIST
from boardgen.proof.prove import prove
from tests.proof.built_folder import design, files_of, good, packed_again
from tests.proof.planted import FAULTS

HOUSE = BoardHouse()
STOCK = Path(__file__).parents[2] / "parts" / "footprint_names_kicad.csv"
KINDS, COUNT = 25, 60
"""So many kinds of faults are planted, and so many faults, at least."""


@pytest.fixture(scope="module", autouse=True)
def _read_once() -> Iterator[None]:
    """A file that a fault leaves alone is read once."""
    with pytest.MonkeyPatch.context() as patch:
        for readers in ("READERS", "BY_SUFFIX"):
            made = getattr(built, readers)
            kept = {reader: lru_cache(maxsize=64)(reader) for reader in set(made.values())}
            patch.setattr(built, readers, {name: kept[reader] for name, reader in made.items()})
        yield


def test_a_built_folder_is_proved() -> None:
    assert prove(good(), HOUSE) == ()


def test_a_folder_with_footprints_of_a_users_own_library_is_proved(tmp_path: Path) -> None:
    """Their pads are numbered otherwise, and some lie turned or from another origin."""
    shutil.copy(STOCK, tmp_path / "footprint_names.csv")
    files = files_of(design(), read_footprint_names(tmp_path))
    assert files[NETLIST] != good()[NETLIST]
    assert prove(files, HOUSE) == ()


PLANTED = {f"{kind}: {name}": (change, told) for kind, rows in FAULTS.items() for name, change, told in rows}


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_is_told(name: str) -> None:
    """The archive holds the changed files, but where it is itself what was changed; the manifest plays no part."""
    change, told = PLANTED[name]
    changed = change(good())
    assert changed != good()
    if not name.startswith("archive:"):
        changed = packed_again(changed)
    found = prove(changed, HOUSE)
    assert any(problem.id.startswith(told) for problem in found), [(p.id, str(p.place), p.sentence) for p in found]


def test_enough_is_planted() -> None:
    assert len(PLANTED) == sum(map(len, FAULTS.values())) >= COUNT
    assert len(FAULTS) >= KINDS


@pytest.mark.parametrize(
    ("damaged", "said"),
    [
        (lambda whole: whole[:5000], "breaks off"),
        (lambda _: b"", "not one whole expression"),
        (lambda _: b"\x80\x81", "'utf-8' codec can't decode byte"),
        (lambda _: b"(" * 200_000, "breaks off"),
        (lambda _: b"word", "not one whole expression"),
        (lambda _: b"(export))", "closes nothing"),
        (lambda _: b"(export)", "stands there 0 times"),
        (lambda _: b"(export (components) (libparts) (nets))", "it holds no nets"),
        (lambda _: b"(export (components (comp (ref))) (libparts) (nets))", "it is damaged"),
    ],
)
def test_a_damaged_netlist_is_a_damaged_file(damaged: Callable[[bytes], bytes], said: str) -> None:
    (problem,) = prove({**good(), NETLIST: damaged(good()[NETLIST])}, HOUSE)
    assert (problem.id, problem.place.file) == ("P100 file", NETLIST)
    assert said in problem.found


def renewed(folder: Path, files: Mapping[str, bytes], house: BoardHouse | None = HOUSE) -> Path:
    """A folder with these files and a manifest that names them as they are."""
    origin = Origin("options", "A", {}, "boardgen 0", {}, house)
    for name, data in {**files, MANIFEST: manifest(origin, files)}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return folder


def test_the_command_says_what_it_has_proved(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(renewed(tmp_path, good()), Talk()) == 0
    told = capsys.readouterr().out
    assert f"keep the limits of {HOUSE.name}" in told
    assert "Read for their digests alone: book, drawings" in told


def test_the_command_tells_a_fault_that_the_manifest_does_not(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed = packed_again(FAULTS["hole"][0][1](good()))
    assert differences(renewed(tmp_path, changed)) == ()
    assert run(tmp_path, Talk()) == 1
    assert "no plated hole" in capsys.readouterr().out


@pytest.mark.parametrize("narrow", [None, replace(HOUSE, track_nm=700_000)])
def test_limits_come_from_the_manifest(
    narrow: BoardHouse | None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(renewed(tmp_path, good(), narrow), Talk()) == 1
    told = capsys.readouterr().out
    assert ("0.70 mm are needed" if narrow else "does not name the limits of a board house") in told
