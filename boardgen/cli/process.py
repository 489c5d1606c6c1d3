"""How the process of a short command is set up. What each setting saves was measured with whole commands.

| setting | `values`, four-way | `build`, four-way |
|---|---|---|
| one thread of the linear algebra | nothing | half |
| fewer searches for unreachable objects, none at the end | a sixth | a quarter |
"""

from __future__ import annotations

import atexit
import gc
import os


def settle() -> None:
    """Sets what libraries read when they are loaded, unless the user has, and lets memory go with the process."""
    # matrices are small: a second thread of the linear algebra only waits, and costs as much as the first
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # few objects that nothing leads to are left behind, and the process ends soon
    gc.set_threshold(1_000_000)
    atexit.register(gc.freeze)
