"""Parts that may stand on end: the second pattern is known, and has the same pads."""

from __future__ import annotations

from pathlib import Path

import pytest

from boardgen.catalogue import load
from boardgen.model.problem import InputError

LYING = """
[[footprint]]
key = "own-lying"
upright = "own-upright"
description = "a part lying"
view = "top"
standing = "assumed"
source = "test"
hole_mm = 0.9
pads_mm = [["1", 0, 0], ["2", 10.16, 0]]
"""
UPRIGHT = """
[[footprint]]
key = "own-upright"
description = "the same part on end"
view = "top"
standing = "assumed"
source = "test"
hole_mm = 0.9
pads_mm = [["1", 0, 0], ["2", 2.54, 0]]
"""


def problems(folder: Path, text: str) -> list[str]:
    (folder / "own.toml").write_text(text)
    with pytest.raises(InputError) as raised:
        load(folder)
    return [problem.id for problem in raised.value.problems]


def test_both_patterns_are_read(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(LYING + UPRIGHT)
    footprints = load(tmp_path).footprints
    assert footprints[footprints["own-lying"].upright].pads[1].x_nm == 2_540_000


def test_an_unknown_pattern_is_refused(tmp_path: Path) -> None:
    assert problems(tmp_path, LYING) == ["K013 unknown footprint"]


def test_other_pads_are_refused(tmp_path: Path) -> None:
    assert problems(tmp_path, LYING + UPRIGHT.replace('["2", 2.54, 0]', '["3", 2.54, 0]')) == ["K014 no such pad"]
