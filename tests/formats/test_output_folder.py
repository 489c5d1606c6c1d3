"""A folder is written whole or not at all, and never over somebody's work."""

import errno
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from boardgen.formats.manifest import MANIFEST, Origin, differences
from boardgen.formats.output_folder import check_folder, write_folder
from boardgen.model.problem import InputError

ORIGIN = Origin("Salt", "A", {}, "0.1.0", {})
FIRST = {"bill.csv": b"one", "fabrication/top.gbr": b"copper"}
SECOND = {"bill.csv": b"two", "book.html": b"<p>"}


def tree(folder: Path) -> dict[str, object]:
    """Everything below a folder: bytes of files, targets of links, and the folders."""
    found: dict[str, object] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_symlink():
            found[name] = path.readlink()
        else:
            found[name] = path.read_bytes() if path.is_file() else None
    return found


def refused(target: Path, files: dict[str, bytes], top: Path) -> str:
    """The message of a refusal that changed nothing anywhere under `top`."""
    before = tree(top)
    with pytest.raises(InputError) as caught:
        write_folder(target, files, ORIGIN)
    assert tree(top) == before
    return str(caught.value)


def test_writes_a_new_folder_and_the_folders_above_it(tmp_path: Path) -> None:
    target = tmp_path / "output" / "salt"
    assert write_folder(target, FIRST, ORIGIN) == ()
    assert {name for name, data in tree(target).items() if data is not None} == {*FIRST, MANIFEST}
    assert (target / "fabrication/top.gbr").read_bytes() == b"copper"
    assert set(json.loads((target / MANIFEST).read_bytes())["files"]) == set(FIRST)
    assert differences(target) == ()
    assert [path.name for path in target.parent.iterdir()] == ["salt"]


def test_a_second_build_replaces_the_first_and_leaves_nothing_of_it(tmp_path: Path) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    assert write_folder(target, SECOND, ORIGIN) == ()
    assert set(tree(target)) == {*SECOND, MANIFEST}
    assert (target / "bill.csv").read_bytes() == b"two"
    assert [path.name for path in tmp_path.iterdir()] == ["salt"]


def test_two_builds_give_the_same_bytes(tmp_path: Path) -> None:
    write_folder(tmp_path / "a", FIRST, ORIGIN)
    write_folder(tmp_path / "b", dict(reversed(FIRST.items())), ORIGIN)
    assert tree(tmp_path / "a") == tree(tmp_path / "b")


def test_an_empty_folder_and_a_missing_file_are_no_hindrance(tmp_path: Path) -> None:
    target = tmp_path / "salt"
    target.mkdir()
    write_folder(target, FIRST, ORIGIN)
    (target / "bill.csv").unlink()
    write_folder(target, SECOND, ORIGIN)
    assert differences(target) == ()


def test_a_changed_file_is_somebodys_work(tmp_path: Path) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    (target / "bill.csv").write_bytes(b"my own")
    message = refused(target, SECOND, tmp_path)
    assert "bill.csv is not as manifest.json says" in message
    assert "top.gbr" not in message
    with pytest.raises(InputError):
        check_folder(target)


@pytest.mark.parametrize("name", ["notes.txt", "fabrication/notes.txt", "sub/deep/notes.txt", ".hidden"])
def test_an_unnamed_file_is_somebodys_work(tmp_path: Path, name: str) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    (target / name).parent.mkdir(parents=True, exist_ok=True)
    (target / name).write_text("mine")
    assert f"{name} is not named in manifest.json" in refused(target, SECOND, tmp_path)


def test_every_file_in_the_way_is_named(tmp_path: Path) -> None:
    target = tmp_path / "salt"
    target.mkdir()
    for name in ("a.txt", "b.txt"):
        (target / name).write_text("mine")
    message = refused(target, FIRST, tmp_path)
    assert "a.txt is not named" in message
    assert "b.txt is not named" in message


def test_an_empty_folder_of_somebodys_is_kept(tmp_path: Path) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    (target / "mine").mkdir()
    assert "mine is not named" in refused(target, SECOND, tmp_path)


def test_a_spoilt_manifest_is_refused(tmp_path: Path) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    (target / MANIFEST).write_text("{}")
    assert "manifest.json is not a manifest of a build" in refused(target, SECOND, tmp_path)


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "salt").write_text("mine")
    assert "is a link or a file" in refused(tmp_path / "salt", FIRST, tmp_path)


def test_a_file_in_the_place_of_a_folder_above_is_refused(tmp_path: Path) -> None:
    (tmp_path / "output").write_text("mine")
    assert "cannot write the folder" in refused(tmp_path / "output" / "deep" / "salt", FIRST, tmp_path)


@pytest.mark.parametrize("there", [True, False])
def test_a_link_in_the_place_of_the_folder_is_refused(tmp_path: Path, there: bool) -> None:
    if there:
        (tmp_path / "elsewhere").mkdir()
    (tmp_path / "salt").symlink_to(tmp_path / "elsewhere")
    assert "is a link or a file" in refused(tmp_path / "salt", FIRST, tmp_path)


@pytest.mark.parametrize("name", ["bill.csv", "fabrication", MANIFEST])
def test_a_link_in_the_folder_is_refused(tmp_path: Path, name: str) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    (target / name).rename(tmp_path / "moved")
    (target / name).symlink_to(tmp_path / "moved")
    assert f"{name} is a link" in refused(target, SECOND, tmp_path)


@pytest.mark.parametrize("path", [".", "..", "/"])
def test_a_path_without_a_name_is_refused(path: str) -> None:
    with pytest.raises(InputError, match="not the name of a folder"):
        check_folder(Path(path))


@pytest.mark.parametrize(
    "name", ["", ".", "..", "/etc/x", "../x", "a/../../x", "a//b", "./a", "a/", "a\\b", "c:x", "a\0b", MANIFEST]
)
def test_names_that_could_leave_the_folder_are_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a name"):
        write_folder(tmp_path / "salt", {name: b""}, ORIGIN)
    assert tree(tmp_path) == {}


def test_a_name_that_is_also_a_folder_fails_cleanly(tmp_path: Path) -> None:
    assert "cannot write" in refused(tmp_path / "new" / "salt", {"a": b"", "a/b": b""}, tmp_path)


@pytest.mark.parametrize("before", [True, False])
def test_a_full_disk_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, before: bool) -> None:
    target = tmp_path / "output" / "salt"
    if before:
        write_folder(target, FIRST, ORIGIN)
    calls = iter(range(100))

    def full(_descriptor: int) -> None:
        if next(calls) == 1:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    message = refused(target, SECOND, tmp_path)
    assert "No space left on device" in message
    assert "Nothing was changed" in message


@pytest.mark.parametrize("failing", [1, 2])
def test_a_failed_move_puts_the_old_folder_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: int) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    moves = iter(range(1, 100))
    rename = Path.rename

    def sometimes(self: Path, to: Path) -> Path:
        if next(moves) == failing:
            raise PermissionError(errno.EACCES, "Permission denied", str(self))
        return rename(self, to)

    monkeypatch.setattr(Path, "rename", sometimes)
    assert "Permission denied" in refused(target, SECOND, tmp_path)
    assert differences(target) == ()


def test_an_interrupted_write_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(_descriptor: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        write_folder(tmp_path / "output" / "salt", FIRST, ORIGIN)
    assert tree(tmp_path) == {}


def test_an_old_folder_that_cannot_be_removed_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    remove = shutil.rmtree

    def stuck(path: Path, ignore_errors: bool = False) -> None:
        raise OSError(errno.EBUSY, "Device or resource busy", str(path))

    monkeypatch.setattr(shutil, "rmtree", stuck)
    (problem,) = write_folder(target, SECOND, ORIGIN)
    monkeypatch.setattr(shutil, "rmtree", remove)
    assert problem.severity == "warning"
    assert (Path(problem.place.file) / "fabrication/top.gbr").read_bytes() == b"copper"
    assert differences(target) == ()


CHILD = """
import resource, sys
from pathlib import Path
from boardgen.formats.manifest import Origin
from boardgen.formats.output_folder import write_folder
from boardgen.model.problem import InputError
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    write_folder(Path(sys.argv[1]), {"a": b"small", "b": b"x" * 5000}, Origin("Salt", "A", {}, "0.1.0", {}))
except InputError as error:
    sys.stdout.write(str(error))
    sys.exit(2)
"""


def run_child(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=False)


@pytest.mark.skipif(sys.platform == "win32", reason="file-size limits are of POSIX")
@pytest.mark.parametrize("before", [True, False])
def test_a_file_size_limit_changes_nothing(tmp_path: Path, before: bool) -> None:
    target = tmp_path / "output" / "salt"
    if before:
        write_folder(target, FIRST, ORIGIN)
    there = tree(tmp_path)
    done = run_child(CHILD, str(target))
    assert done.returncode == 2, done.stderr
    assert "File too large" in done.stdout
    assert tree(tmp_path) == there


LOCKED = """
import os, sys
from pathlib import Path
from boardgen.formats.manifest import Origin
from boardgen.formats.output_folder import write_folder
from boardgen.model.problem import InputError
os.chdir(sys.argv[1])
if os.getuid() == 0:
    os.setuid(65534)  # nobody: the superuser may write anywhere
try:
    write_folder(Path(sys.argv[2]), {"a": b"small"}, Origin("Salt", "A", {}, "0.1.0", {}))
except InputError as error:
    sys.stdout.write(str(error))
    sys.exit(2)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="file modes are of POSIX")
@pytest.mark.parametrize(
    ("locked", "mode"),
    [(".", 0o555), ("output", 0o000), ("output", 0o555), ("output/salt", 0o000), ("output/salt/bill.csv", 0o000)],
)
def test_a_folder_without_permission_changes_nothing(tmp_path: Path, locked: str, mode: int) -> None:
    write_folder(tmp_path / "output" / "salt", FIRST, ORIGIN)
    there = tree(tmp_path)
    (tmp_path / locked).chmod(mode)
    done = run_child(LOCKED, str(tmp_path), "new/salt" if locked == "." else "output/salt")
    (tmp_path / locked).chmod(0o755)
    assert done.returncode == 2, done.stderr
    assert "Permission denied" in done.stdout
    assert tree(tmp_path) == there


def test_a_file_that_is_saved_while_the_folder_is_written_survives(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "salt"
    write_folder(target, FIRST, ORIGIN)
    written = os.fsync

    def meanwhile(descriptor: int) -> None:
        (target / "my-notes.txt").write_text("mine")
        (target / "fabrication/top.gbr").write_text("scraped")
        written(descriptor)

    monkeypatch.setattr(os, "fsync", meanwhile)
    with pytest.raises(InputError) as caught:
        write_folder(target, SECOND, ORIGIN)
    assert [(p.id, p.place.file) for p in caught.value.problems] == [
        ("file-changed", str(target / "fabrication/top.gbr")),
        ("file-unnamed", str(target / "my-notes.txt")),
    ]
    assert (target / "my-notes.txt").read_text() == "mine"
    assert (target / "bill.csv").read_bytes() == b"one"
    assert [path.name for path in tmp_path.iterdir()] == ["salt"]


def test_two_that_write_at_once_do_not_share_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written = os.fsync
    once = iter([True])

    def meanwhile(descriptor: int) -> None:
        if next(once, False):
            assert [p.id for p in write_folder(tmp_path / "pepper", SECOND, ORIGIN)] == ["folder-left"]
        written(descriptor)

    monkeypatch.setattr(os, "fsync", meanwhile)
    assert write_folder(tmp_path / "salt", FIRST, ORIGIN) == ()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["pepper", "salt"]
    assert differences(tmp_path / "salt") == differences(tmp_path / "pepper") == ()


def test_what_a_killed_run_left_is_named(tmp_path: Path) -> None:
    (tmp_path / ".boardgen-0" / "new").mkdir(parents=True)
    (problem,) = write_folder(tmp_path / "salt", FIRST, ORIGIN)
    assert (problem.severity, problem.place.file) == ("note", str(tmp_path / ".boardgen-0"))


def made_from(name: str, content: str, title: str = "Salt", revision: str = "A") -> Origin:
    return Origin(title, revision, {"specification": {"name": name, "sha256": content}}, "0.1.0", {})


@pytest.mark.parametrize(
    ("later", "said"),
    [
        (made_from("a.toml", "1"), []),
        (made_from("a.toml", "2"), [("note", "it replaces what was made from an earlier state of a.toml")]),
        (made_from("b.toml", "1"), [("warning", "it replaces revision A of Salt, made from a.toml")]),
        (made_from("a.toml", "1", revision="B"), [("warning", "it replaces revision A of Salt, made from a.toml")]),
        (made_from("a.toml", "1", title="SALT"), [("warning", "it replaces revision A of Salt, made from a.toml")]),
        (
            Origin("Salt", "", {"order": [{"plan": {"name": "p.toml", "sha256": "1"}}]}, "0.1.0", {}),
            [("warning", "it replaces revision A of Salt, made from a.toml")],
        ),
    ],
)
def test_another_board_or_revision_replaces_none_in_silence(
    tmp_path: Path, later: Origin, said: list[tuple[str, str]]
) -> None:
    write_folder(tmp_path / "salt", FIRST, made_from("a.toml", "1"))
    assert [(p.severity, p.found) for p in write_folder(tmp_path / "salt", SECOND, later)] == said
