"""How the process of a short command is set up."""

from __future__ import annotations

import atexit
import gc
import os

_SETTINGS = {
    # looking for plugins of the validator costs a fifth of a short command, and none is used
    "PYDANTIC_DISABLE_PLUGINS": "__all__",
    # matrices are small: a second thread of the linear algebra only waits, and costs as much as the first
    "OPENBLAS_NUM_THREADS": "1",
}


def settle() -> None:
    """Sets what libraries read when they are loaded, unless the user has, and lets memory go with the process."""
    for name, value in _SETTINGS.items():
        os.environ.setdefault(name, value)
    # few objects that nothing leads to are left behind: looking for them takes a tenth of a build
    gc.set_threshold(1_000_000)
    atexit.register(gc.freeze)
