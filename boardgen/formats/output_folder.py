"""Writing a folder whole or not at all, and never over somebody's work."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from contextlib import ExitStack, suppress
from itertools import count
from pathlib import Path, PurePosixPath

from boardgen.formats.manifest import MANIFEST, Origin, differences, manifest, read_origin, sources
from boardgen.model.problem import InputError, Place, Problem

STAGING = ".boardgen-"
"""How the folders begin in which a folder is made before it is moved in."""


def check_folder(target: Path) -> None:
    """Raises InputError where something at `target` is not what an earlier build wrote.

    That is a file or a link in its place, or in the folder a link, or a file that its manifest does not name or has
    another digest for. A file that is gone is no loss.
    """
    if target.name in ("", ".."):
        raise _refusal(target, "is not the name of a folder to write", "Give the folder a name")
    try:
        if target.is_symlink() or (target.exists() and not target.is_dir()):
            raise _refusal(target, "is a link or a file", "Move it away, or choose another folder")
        if target.is_dir():
            _check_content(target, target)
    except OSError as error:
        raise _failure(target, error) from error


def _check_content(folder: Path, target: Path) -> None:
    """Raises InputError where the folder, which is or was `target`, holds what no build wrote."""
    foreign = [problem for problem in differences(folder) if problem.id != "file-missing"]
    if foreign:
        hint = "Move it away, or choose another folder; nothing was changed"
        raise InputError(
            [
                Problem(
                    p.id,
                    p.severity,
                    Place(str(target / Path(p.place.file).relative_to(folder))),
                    p.found,
                    "it may be somebody's work",
                    hint,
                )
                for p in foreign
            ]
        )


def write_folder(target: Path, files: Mapping[str, bytes], origin: Origin) -> tuple[Problem, ...]:
    """Makes the folder hold exactly these files and their manifest.

    Names are relative, with "/" between folders. All is written beside the target first and then moved in whole.
    Returns warnings. Raises InputError, with everything as it was, where `check_folder` refuses or writing fails, and
    ValueError for a name that would leave the folder.
    """
    for name in files:
        _check_name(name)
    check_folder(target)
    with ExitStack() as undo:
        try:
            for folder in reversed([path for path in target.parents if not path.exists()]):
                folder.mkdir()
                undo.callback(_remove_if_empty, folder)
            left = _left_beside(target)
            staging = _staging_beside(target)
            undo.callback(_remove_if_empty, staging)
            new, old = staging / "new", staging / "old"
            new.mkdir()
            undo.callback(shutil.rmtree, new, ignore_errors=True)
            _fill(new, {**files, MANIFEST: manifest(origin, files)})
            replaced = _replaced(target, origin)
            _exchange(new, target, old)
        except OSError as error:
            raise _failure(target, error) from error
        except UnicodeError as error:
            raise _refusal(target, "has letters that file names cannot hold here", "Choose a title in ASCII") from error
        undo.pop_all()
    return (*replaced, *left, *_removed(staging, old))


def _check_name(name: str) -> None:
    path = PurePosixPath(name)
    plain = str(path) == name and not path.is_absolute() and ".." not in path.parts
    if not plain or name in ("", ".", MANIFEST) or any(c in name for c in "\\:\0"):
        raise ValueError("not a name for a file in the folder", name)


def _staging_beside(target: Path) -> Path:
    """A new folder of nobody else's on the same file system."""
    for number in count():
        path = target.with_name(f"{STAGING}{number}")
        with suppress(FileExistsError):
            path.mkdir()
            return path
    raise AssertionError


def _left_beside(target: Path) -> tuple[Problem, ...]:
    """What runs that were killed, or run now, have there."""
    return tuple(
        Problem(
            "folder-left",
            "note",
            Place(str(path)),
            "it is of another run that writes there, or that was broken off",
            "",
            "Remove it where none is running",
        )
        for path in sorted(target.parent.glob(f"{STAGING}*"))
    )


def _replaced(target: Path, origin: Origin) -> tuple[Problem, ...]:
    """That another board, another revision, or one of an earlier state of its specification is replaced."""
    before = read_origin(target)
    if before is None:
        return ()
    names = [[name for name, _ in sources(each.inputs)] for each in (before, origin)]
    same = (before.title, before.revision, names[0]) == (origin.title, origin.revision, names[1])
    if same and sources(before.inputs) == sources(origin.inputs):
        return ()
    made = f", made from {', '.join(names[0])}" if names[0] else ""
    if same:
        found = f"it replaces what was made from an earlier state of {', '.join(names[0])}"
    else:
        revision = f"revision {before.revision} of " if before.revision else ""
        found = f"it replaces {revision}{before.title}{made}"
    hint = "Choose another folder with --out where both are to be kept"
    return (Problem("folder-replaced", "note" if same else "warning", Place(str(target)), found, "", hint),)


def _remove_if_empty(folder: Path) -> None:
    with suppress(OSError):
        folder.rmdir()


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(data)
            file.flush()
            # Some file systems tell of a full disk only here.
            os.fsync(file.fileno())


def _exchange(new: Path, target: Path, old: Path) -> None:
    """Moves what is there to `old` and the new folder in. Raises InputError where a file was saved there meanwhile."""
    if not target.exists():
        new.rename(target)
        return
    target.rename(old)
    ours = False
    try:
        _check_content(old, target)
        ours = True
        new.rename(target)
    except BaseException:
        try:
            old.rename(target)
        except OSError:
            # another run has moved its own in meanwhile, as it may: what it would have replaced goes
            if ours:
                shutil.rmtree(old, ignore_errors=True)
        raise


def _removed(staging: Path, old: Path) -> tuple[Problem, ...]:
    try:
        shutil.rmtree(staging)
    except OSError as error:
        found = f"the folder it replaced could not be removed: {error.strerror}"
        return (Problem("folder-left", "warning", Place(str(old)), found, "", "Remove it by hand"),)
    return ()


def _refusal(target: Path, found: str, hint: str) -> InputError:
    return InputError([Problem("folder-refused", "error", Place(str(target)), f"{target} {found}", "", hint)])


def _failure(target: Path, error: OSError) -> InputError:
    where = error.filename2 or error.filename or target
    found = f"cannot write the folder: {error.strerror or error} ({where})"
    return InputError([Problem("folder-failed", "error", Place(str(target)), found, "", "Nothing was changed")])
