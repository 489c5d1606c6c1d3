"""`python -m boardgen`, and the command `boardgen`."""

from __future__ import annotations

import sys


def main() -> int:
    """Run one command; also while its modules are loaded a user who stops it sees one line."""
    try:
        from boardgen.cli.app import main as run
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        return 130
    return run()


if __name__ == "__main__":
    raise SystemExit(main())
