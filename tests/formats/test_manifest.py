"""manifest.json, and what it finds changed."""

import json
from pathlib import Path

import pytest

from boardgen.formats.manifest import MANIFEST, Origin, differences, manifest

ORIGIN = Origin("Salt four-way \u03a9", "A", {"spec": "ab12", "boards": 2}, "0.1.0", {"b": "2", "a": "1"})

GOLDEN = """\
{
  "files": {
    "a/b.txt": {
      "bytes": 3,
      "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    },
    "empty": {
      "bytes": 0,
      "sha256": "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    }
  },
  "inputs": {
    "boards": 2,
    "spec": "ab12"
  },
  "libraries": {
    "a": "1",
    "b": "2"
  },
  "program": "0.1.0",
  "revision": "A",
  "schema": "boardgen manifest 1",
  "title": "Salt four-way \u03a9"
}
"""


def test_the_whole_manifest_whatever_the_order() -> None:
    # The digests of nothing and of "abc" are the examples of FIPS 180-2.
    files = {"empty": b"", "a/b.txt": b"abc"}
    assert manifest(ORIGIN, files).decode() == GOLDEN
    assert manifest(ORIGIN, dict(reversed(files.items()))) == manifest(ORIGIN, files)


def written(folder: Path) -> Path:
    files = {"empty": b"", "a/b.txt": b"abc"}
    (folder / "a").mkdir(parents=True)
    for name, data in files.items():
        (folder / name).write_bytes(data)
    (folder / MANIFEST).write_bytes(manifest(ORIGIN, files))
    return folder


def found(folder: Path) -> list[tuple[str, str]]:
    return [(p.id, Path(p.place.file).relative_to(folder).as_posix()) for p in differences(folder)]


def test_nothing_differs_in_what_was_written(tmp_path: Path) -> None:
    assert found(written(tmp_path / "out")) == []


def test_every_difference_is_named(tmp_path: Path) -> None:
    folder = written(tmp_path / "out")
    (folder / "a" / "b.txt").write_bytes(b"abd")
    (folder / "empty").unlink()
    (folder / "notes.txt").write_text("mine")
    (folder / "a" / "sub").mkdir()
    (folder / "a" / "link").symlink_to(folder / "notes.txt")
    assert sorted(found(folder)) == [
        ("file-changed", "a/b.txt"),
        ("file-link", "a/link"),
        ("file-missing", "empty"),
        ("file-unnamed", "a/sub"),
        ("file-unnamed", "notes.txt"),
    ]


def test_a_listed_file_that_became_a_folder_is_unnamed(tmp_path: Path) -> None:
    folder = written(tmp_path / "out")
    (folder / "empty").unlink()
    (folder / "empty").mkdir()
    assert found(folder) == [("file-unnamed", "empty")]


@pytest.mark.parametrize("text", ["", "{", "[]", "3", '{"files": []}', '{"files": {"a": "x"}}', "[" * 5000, "\udcff"])
def test_a_manifest_that_is_none_is_named_alone(tmp_path: Path, text: str) -> None:
    folder = written(tmp_path / "out")
    (folder / MANIFEST).write_bytes(text.encode("utf-8", "surrogateescape"))
    assert found(folder) == [("manifest-unreadable", MANIFEST)]


def test_a_folder_in_the_place_of_the_manifest_is_unnamed(tmp_path: Path) -> None:
    (tmp_path / MANIFEST).mkdir()
    assert found(tmp_path) == [("file-unnamed", MANIFEST)]


def test_without_a_manifest_nothing_is_named(tmp_path: Path) -> None:
    folder = written(tmp_path / "out")
    (folder / MANIFEST).unlink()
    assert found(folder) == [("file-unnamed", "a/b.txt"), ("file-unnamed", "empty")]


def test_values_that_json_cannot_hold_are_refused() -> None:
    with pytest.raises(ValueError):
        manifest(Origin("t", "A", {"x": float("nan")}, "1", {}), {})
    assert json.loads(manifest(Origin("t", "A", {}, "1", {}), {}))["files"] == {}
