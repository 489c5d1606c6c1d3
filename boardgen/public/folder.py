"""Writes a folder with its manifest: what every command and script that writes one ends with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from msgspec import Struct

from boardgen.documents import PROGRAM
from boardgen.formats.manifest import MANIFEST, Origin
from boardgen.formats.output_folder import write_folder
from boardgen.model.board_house import BoardHouse
from boardgen.model.problem import Problem
from boardgen.public.made_with import versions
from boardgen.spec.label import folder_name


class Written(Struct, frozen=True):
    """A folder that was written: where it lies, the names of its files, and what is to be known of the writing."""

    folder: Path
    files: tuple[str, ...]
    problems: tuple[Problem, ...]


def folder_of(out: Path, title: str) -> Path:
    """The folder of that board or station within `out`."""
    return out / folder_name(title)


def written(
    target: Path,
    files: Mapping[str, bytes],
    title: str,
    revision: str,
    inputs: Mapping[str, object],
    libraries: Iterable[str],
    house: BoardHouse | None = None,
) -> Written:
    """The files with their manifest: what it says of the inputs, the libraries they were made with, the board house."""
    origin = Origin(title, revision, inputs, PROGRAM, versions(libraries), house)
    problems = write_folder(target, files, origin)
    return Written(target, tuple(sorted([*files, MANIFEST])), problems)
