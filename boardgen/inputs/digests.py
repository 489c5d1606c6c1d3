"""What a manifest says of the inputs: names and digests, without the folders that hold them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path

from boardgen.inputs.table_files import PATTERNS

OWN_PARTS = (
    "*.toml", "permeability/*.csv", "limits/board_houses.toml", "footprint_names.csv",
    *(f"prices/{pattern}" for pattern in PATTERNS),
)  # fmt: skip
"""What is read of a folder of parts; what else lies there makes no difference."""


def describe(
    spec_path: Path,
    named: Mapping[str, str | None],
    overrides: Mapping[str, str],
    prices: list[Path],
    own_parts: Path | None,
    day: date | None,
) -> dict[str, object]:
    """Plain values for the manifest; `named` are files that the specification names, by what they are.

    The place of a build does not show in them.
    """
    folder = spec_path.parent
    return {
        "specification": digest(spec_path, spec_path.parent),
        "named files": {what: digest(folder / name, folder) for what, name in named.items() if name},
        "overrides": dict(overrides),
        "prices": [entry for path in prices for entry in _digests(path, PATTERNS)],
        "own parts": list(_digests(own_parts, OWN_PARTS)) if own_parts else [],
        "date": day.isoformat() if day else None,
    }


def _digests(path: Path, patterns: Sequence[str]) -> Iterator[dict[str, str]]:
    """Of a file, or of the files in a folder in the order of their names."""
    if path.is_dir():
        files = {file for pattern in patterns for file in path.glob(pattern) if file.is_file()}
        yield from (digest(file, path) for file in sorted(files))
    else:
        yield digest(path, path.parent)


def digest(path: Path, folder: Path) -> dict[str, str]:
    """Name within the folder, and SHA-256 of the content."""
    name = path.relative_to(folder).as_posix() if path.is_relative_to(folder) else path.name
    # a name that UTF-8 cannot hold is shown as far as it can be
    printable = name.encode("utf-8", "replace").decode()
    return {"name": printable, "sha256": hashlib.sha256(path.read_bytes()).hexdigest()}
