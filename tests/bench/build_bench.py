"""The whole cold build against a process that only imports what the build imports, in one run: `make bench`.

Exit 1 where the ratio exceeds its limit.
"""

from __future__ import annotations

import compileall
import os
import sys
import tempfile
from pathlib import Path

from timing import IMPORT, child_s, imported, packages

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
        imports = child_s(["-c", IMPORT], folder, RUNS, "\n".join(modules))
        whole = child_s(["-m", "boardgen", *words], folder, RUNS)
    ratio = whole / imports
    state = "met" if ratio <= LIMIT else "FALLS SHORT"
    sys.stdout.write(
        f"whole cold build, eight-way: {whole * 1e3:.0f} ms, {ratio:.2f} of {packages(modules)} "
        f"({imports * 1e3:.0f} ms), at most {LIMIT:.2f}: {state}\n"
    )
    return 0 if ratio <= LIMIT else 1


if __name__ == "__main__":
    raise SystemExit(main())
