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
import signal
import threading
from types import FrameType


def settle() -> None:
    """Sets what libraries read when they are loaded, unless the user has, and lets memory go with the process."""
    # matrices are small: a second thread of the linear algebra only waits, and costs as much as the first
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # few objects that nothing leads to are left behind, and the process ends soon
    gc.set_threshold(1_000_000)
    atexit.register(gc.freeze)


def stop_gently() -> None:
    """Lets what asks the process to end do it as Ctrl-C does, with everything as it was; what is ignored stays so."""
    if threading.current_thread() is not threading.main_thread():
        return
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_DFL:
            signal.signal(number, _stop)


def _stop(_number: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt
