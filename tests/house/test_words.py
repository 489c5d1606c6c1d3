"""No file names the machine it was written on, or where packages come from."""

import re

import pytest

from tests.house.checkout import TOP, files

# in halves, so that this file does not hold what it looks for
PATTERNS = {
    "a home folder": r"(?<![\w.])/" + r"(root|home|Users)/",
    "a work folder": r"(?<![\w.])/" + r"(work|workspace|builds)/",
    "a scratch folder": r"(?<![\w.])/" + r"tmp/(bash|pytest|pip)",
    "a package index": r"https?:" + r"//[^\s\"']*(simple|pypi)",
    "an address with a password": r"https?:" + r"//[^\s/\"']+:[^\s/\"']+@",
}


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("a home folder", "see /" + "root/x"),
        ("a work folder", '"/' + 'work/x"'),
        ("a scratch folder", "/" + "tmp/bash_x"),
        ("a package index", "https:" + "//host/simple/x"),
        ("an address with a password", "https:" + "//me:secret@host"),
    ],
)
def test_the_patterns_find_what_they_are_for(kind, text):
    assert re.search(PATTERNS[kind], text)


@pytest.mark.parametrize("kind", PATTERNS)
def test_no_file_holds(kind):
    found = []
    for path in files():
        text = path.read_bytes().decode("utf-8", "replace")
        found += [f"{path.relative_to(TOP)}: {match[0]}" for match in re.finditer(PATTERNS[kind], text)]
    assert found == []
