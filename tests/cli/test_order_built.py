"""`boardgen order` beside a built board: it buys what was built, or says in what the design differs."""

import json
from pathlib import Path

import pytest

from tests.cli.empty_folder import TITLES, User

BUILT = f"output/{TITLES['two-way']}"


@pytest.fixture(scope="module")
def user(tmp_path_factory: pytest.TempPathFactory) -> User:
    """A two-way board that is built, and a specification of the same title with another core beside it."""
    user = User(tmp_path_factory.mktemp("built"))
    user.start("two-way")
    user.good("build", "board.toml", "--quiet")
    pinned = '\n[parts]\ncore = "core-73-2402"\noutput_core = "core-73-2402"\n'
    (user.here / "other.toml").write_text((user.here / "board.toml").read_text() + pinned)
    return user


def ordered(user: User, *words: str) -> dict[str, object]:
    done = user.run("order", *words, "--on", "2026-11-25", "--json")
    assert done.returncode in (0, 1), done.stderr
    said: dict[str, object] = json.loads(done.stdout)
    return said


def lines(said: dict[str, object]) -> list[tuple[str, str]]:
    return [(x["part"], x["quantity"]) for supplier in said["suppliers"] for x in supplier["lines"]]  # type: ignore[attr-defined]


def test_a_built_folder_is_ordered_as_its_specification_is(user: User) -> None:
    of_specification, of_folder = ordered(user, "board.toml"), ordered(user, BUILT)
    told = {"folder", "warnings"}  # the second says that it replaced the first
    assert {k: v for k, v in of_specification.items() if k not in told} == {
        k: v for k, v in of_folder.items() if k not in told
    }
    three = ordered(user, BUILT, "--boards", "3", "--out", "three")
    assert three["boards"] == [{"title": TITLES["two-way"], "revision": "A", "boards": 3}]
    assert dict(lines(three))["relay-tq2-12"] == "7"


def test_a_design_that_was_built_otherwise_falls_short(user: User) -> None:
    said = ordered(user, "other.toml")
    (short,) = [p for p in said["shortfalls"] if p["id"] == "not-as-built"]  # type: ignore[attr-defined]
    assert short["file"] == BUILT
    assert "Fair-Rite 2873002402: 3 (T1 T2 T3) instead of none" in short["found"]
    assert "Fair-Rite 2873000202: none instead of 3 (T1 T2 T3)" in short["found"]
    assert "core-73-202" in dict(lines(ordered(user, BUILT)))


def test_a_built_board_is_not_sized_again(user: User) -> None:
    assert "band.lowest is given for a board that is built already" in user.refused("order", BUILT, "--lowest", "160 m")
    assert "order.spares" in user.refused("order", BUILT, "--spares", "many")


def test_a_folder_that_is_not_as_its_manifest_says_is_refused(user: User) -> None:
    path: Path = user.here / BUILT / "needs.json"
    kept = path.read_bytes()
    path.write_bytes(kept.replace(b'"per_board": "3"', b'"per_board": "2"'))
    assert "the file is not as manifest.json says" in user.refused("order", BUILT)
    path.unlink()
    assert "Name a folder that build or station wrote" in user.refused("order", BUILT)
    path.write_bytes(kept)
