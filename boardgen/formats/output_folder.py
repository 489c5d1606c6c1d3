"""Writing a folder whole or not at all, and never over somebody's work."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from contextlib import ExitStack, suppress
from pathlib import Path, PurePosixPath

from boardgen.formats.manifest import MANIFEST, Origin, differences, manifest
from boardgen.model.problem import InputError, Place, Problem


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
        found = differences(target) if target.is_dir() else ()
    except OSError as error:
        raise _failure(target, error) from error
    foreign = [problem for problem in found if problem.id != "file-missing"]
    if foreign:
        hint = "Move it away, or choose another folder; nothing was changed"
        raise InputError(
            [Problem(p.id, p.severity, p.place, p.found, "it may be somebody's work", hint) for p in foreign]
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
            new = _free_beside(target)
            new.mkdir()
            undo.callback(shutil.rmtree, new, ignore_errors=True)
            _fill(new, {**files, MANIFEST: manifest(origin, files)})
            warnings = _move_in(new, target)
        except OSError as error:
            raise _failure(target, error) from error
        except UnicodeError as error:
            raise _refusal(target, "has letters that file names cannot hold here", "Choose a title in ASCII") from error
        undo.pop_all()
    return warnings


def _check_name(name: str) -> None:
    path = PurePosixPath(name)
    plain = str(path) == name and not path.is_absolute() and ".." not in path.parts
    if not plain or name in ("", ".", MANIFEST) or any(c in name for c in "\\:\0"):
        raise ValueError("not a name for a file in the folder", name)


def _free_beside(target: Path) -> Path:
    number = 0
    while os.path.lexists(path := target.with_name(f".boardgen-{number}")):
        number += 1
    return path


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


def _move_in(new: Path, target: Path) -> tuple[Problem, ...]:
    if not target.exists():
        new.rename(target)
        return ()
    old = _free_beside(target)
    target.rename(old)
    try:
        new.rename(target)
    except BaseException:
        old.rename(target)
        raise
    try:
        shutil.rmtree(old)
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
