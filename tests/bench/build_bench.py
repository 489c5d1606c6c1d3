"""The whole cold build against a process that only imports what the build imports, in one run: `make bench`.

Exit 1 where the ratio exceeds its limit.
"""

from __future__ import annotations

import compileall
import os
import sys
import tempfile
from pathlib import Path

from timing import children_s, imported, imports, packages, python, report

from boardgen.spec.template import templates_folder

RUNS = 7
LIMIT = 3.0
BUILD = """
from boardgen.cli.app import main
main(sys.argv[1:])
"""


def main() -> int:
    """Prints the ratio with its limit."""
    compileall.compile_dir(str(Path(sys.modules["boardgen"].__file__ or "").parent), quiet=2)
    os.environ.pop("SOURCE_DATE_EPOCH", None)
    template = str(templates_folder() / "eight-way.toml")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        words = ["build", template, "--out", name, "--quiet"]
        modules = imported(BUILD, words, folder)
        children = python("-m", "boardgen", *words), imports(modules)
        whole_s, imports_s = children_s(children, folder, RUNS)
    return int(not report("whole cold build, eight-way", whole_s, packages(modules), imports_s, LIMIT))


if __name__ == "__main__":
    raise SystemExit(main())
