"""`python -m boardgen`."""

from boardgen.cli.app import main

raise SystemExit(main())
