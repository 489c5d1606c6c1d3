"""The whole cold build against a process that only imports what the build imports, in one run: `make bench`.

Exit 1 where the ratio exceeds its limit.
"""

from __future__ import annotations

import compileall
import os
import subprocess
import sys
import tempfile
from importlib.metadata import packages_distributions
from pathlib import Path

from boardgen.spec.template import templates_folder

RUNS = 7
LIMIT = 2.0
RECORD = """
import sys
from boardgen.cli.app import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
sys.stderr.write("\\n".join(sorted(sys.modules)))
"""
"""A build that says what it has imported."""
IMPORT = """
import contextlib, importlib, sys
from boardgen.circuit import quiet_skidl
from boardgen.documents.plots import figure
quiet_skidl.load()
figure.load()
for name in sys.stdin.read().split():
    # a module that a package made up as it ran cannot be imported by name
    with contextlib.suppress(ImportError):
        importlib.import_module(name)
"""
"""What the build imports; two packages through the doors that keep them from leaving traces."""


def used(template: Path, folder: Path) -> list[str]:
    """The modules that a build of the template was seen to import, but for our own."""
    command = [sys.executable, "-c", RECORD, "build", str(template), "--out", str(folder)]
    seen = subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True).stderr.split()
    there = packages_distributions().keys() | sys.stdlib_module_names
    return [name for name in seen if name.partition(".")[0] in there - {"boardgen", "__main__"}]


def processor_s(command: list[str], folder: Path, given: str = "") -> float:
    """Least processor time of a child process, in seconds: other work on the machine does not count."""
    times = []
    for _ in range(RUNS):
        before = os.times()
        subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True, input=given)
        after = os.times()
        times.append(after.children_user + after.children_system - before.children_user - before.children_system)
    return min(times)


def main() -> int:
    """Prints the ratio with its limit."""
    compileall.compile_dir(str(Path(sys.modules["boardgen"].__file__ or "").parent), quiet=2)
    os.environ.pop("SOURCE_DATE_EPOCH", None)
    template = templates_folder() / "eight-way.toml"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        modules = used(template, folder)
        imports = processor_s([sys.executable, "-c", IMPORT], folder, "\n".join(modules))
        whole = processor_s([sys.executable, "-m", "boardgen", "build", str(template), "--out", name], folder)
    ratio = whole / imports
    packages = sorted({module.partition(".")[0] for module in modules} - sys.stdlib_module_names)
    peer = f"importing what it uses ({', '.join(packages)} and the standard library)"
    state = "met" if ratio <= LIMIT else "FALLS SHORT"
    sys.stdout.write(
        f"whole cold build, eight-way: {whole * 1e3:.0f} ms, {ratio:.2f} of {peer} ({imports * 1e3:.0f} ms), "
        f"at most {LIMIT:.2f}: {state}\n"
    )
    return 0 if ratio <= LIMIT else 1


if __name__ == "__main__":
    raise SystemExit(main())
