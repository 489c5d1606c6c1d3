"""The list of what a build wrote, and whether a folder still is what its list says."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct

from boardgen.model.board_house import BoardHouse
from boardgen.model.problem import Place, Problem

MANIFEST = "manifest.json"
SCHEMA = "boardgen manifest 1"
MADE = ("fabrication/", "netlist.net")
"""How the names of the files begin that a board is made from."""


class Origin(Struct, frozen=True):
    """What the files were made from, and for which board house, None where they hold no board.

    `inputs` holds digests and plain JSON values, `program` and `libraries` hold versions.
    """

    title: str
    revision: str
    inputs: Mapping[str, object]
    program: str
    libraries: Mapping[str, str]
    house: BoardHouse | None = None


def manifest(origin: Origin, files: Mapping[str, bytes]) -> bytes:
    """The manifest of these files as JSON: size and SHA-256 of each, and what they were made from."""
    document = {
        "schema": SCHEMA,
        "title": origin.title,
        "revision": origin.revision,
        "inputs": dict(origin.inputs),
        "program": origin.program,
        "libraries": dict(origin.libraries),
        **({"board house": msgspec.to_builtins(origin.house)} if origin.house else {}),
        "files": {
            name: {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()} for name, data in files.items()
        },
    }
    return (json.dumps(document, indent=2, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n").encode()


def read_origin(folder: Path) -> Origin | None:
    """What the manifest in a folder says its files were made from; None without one, or where it says nothing."""
    try:
        document = json.loads((folder / MANIFEST).read_bytes())
        return Origin(
            str(document["title"]), str(document["revision"]), dict(document["inputs"]), str(document["program"]), {}
        )
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


def read_house(folder: Path) -> BoardHouse | None:
    """The limits that the boards in a folder were drawn for; None where its manifest does not name all of them."""
    try:
        said = json.loads((folder / MANIFEST).read_bytes())["board house"]
        return msgspec.convert(said, BoardHouse) if said.keys() == set(BoardHouse.__struct_fields__) else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def sources(inputs: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """Name and SHA-256 of each specification and plan that files were made from, as a manifest says."""
    try:
        if "order" in inputs:
            return tuple(source for one in inputs["order"] for source in sources(one))
        return tuple(
            (str(inputs[sort]["name"]), str(inputs[sort]["sha256"]))
            for sort in ("specification", "plan")
            if sort in inputs
        )
    except (KeyError, TypeError):
        return ()


def digest_of_made(files: Mapping[str, bytes]) -> str:
    """SHA-256 of the list of what a board is made from: the netlist and the fabrication files, one line each.

    A line is "digest, two spaces, name", as sha256sum prints it, so that anybody can work it out in the built folder:
    `LC_ALL=C; sha256sum fabrication/* netlist.net | sha256sum`. Everything that describes the board is left out, since
    a label cannot hold the digest of a list that names the label.
    """
    names = sorted(name for name in files if name.startswith(MADE))
    lines = "".join(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in names)
    return hashlib.sha256(lines.encode()).hexdigest()


def differences(folder: Path) -> tuple[Problem, ...]:
    """What in the folder is not as its manifest says: "file-changed", "file-unnamed", "file-missing".

    Links are not followed but named as "file-link". A folder without a manifest has only unnamed files; one whose
    manifest cannot be understood gives "manifest-unreadable" alone. Raises OSError where something cannot be read.
    """
    listed: dict[str, str] = {}
    if (folder / MANIFEST).is_file():
        try:
            listed = _listed(folder / MANIFEST)
        except (ValueError, RecursionError):
            return (_problem("manifest-unreadable", folder, MANIFEST, "is not a manifest of a build"),)
    found = dict(_entries(folder, folder))
    problems = [problem for name, path in found.items() if (problem := _judged(folder, name, path, listed))]
    missing = [
        _problem("file-missing", folder, name, "is listed but not there")
        for name in sorted(listed)
        if name not in found
    ]
    return (*problems, *missing)


def _listed(path: Path) -> dict[str, str]:
    """SHA-256 by file name. Raises ValueError for anything but a manifest."""
    document = json.loads(path.read_bytes())
    try:
        return {str(name): str(entry["sha256"]) for name, entry in document["files"].items()}
    except (AttributeError, KeyError, TypeError) as error:
        raise ValueError("not a manifest") from error


def _entries(folder: Path, top: Path) -> Iterator[tuple[str, Path]]:
    """Everything under the folder but the manifest, by name; a folder only where it is empty."""
    for path in sorted(folder.iterdir()):
        name = path.relative_to(top).as_posix()
        if path.is_dir() and not path.is_symlink() and any(path.iterdir()):
            yield from _entries(path, top)
        elif name != MANIFEST or path.is_symlink() or not path.is_file():
            yield name, path


def _judged(folder: Path, name: str, path: Path, listed: Mapping[str, str]) -> Problem | None:
    if path.is_symlink():
        return _problem("file-link", folder, name, "is a link")
    if name not in listed or not path.is_file():
        return _problem("file-unnamed", folder, name, f"is not named in {MANIFEST}")
    with path.open("rb") as file:
        if hashlib.file_digest(file, "sha256").hexdigest() != listed[name]:
            return _problem("file-changed", folder, name, f"is not as {MANIFEST} says")
    return None


def _problem(kind: str, folder: Path, name: str, found: str) -> Problem:
    return Problem(kind, "error", Place(str(folder / name)), f"{name} {found}")
