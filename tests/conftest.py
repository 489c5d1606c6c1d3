"""What holds for all tests."""

import gc
import os

import pytest
from hypothesis import settings

# as the command does for itself: workers share the processors, and a second thread of each would only wait
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# searches for unreachable objects among all that is loaded took a sixth of the time
gc.set_threshold(100_000, 20, 20)
# an example may take as long as a busy machine lets it
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

pytest_plugins = ("tests.processor_time", "pytester")

SHARED = {"documents/test_book.py": "books", "documents/test_book_browser.py": "books"}
"""Files that share what takes long to make."""


def pytest_collection_finish():
    """What is there before the first test stays to the end: no search for unreachable objects looks at it."""
    gc.freeze()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    """With `--dist loadgroup` a file is one worker's, and files that share are too: each board is made once.

    Those with slow tests come first, so that no worker waits at the end for another.
    """
    if not hasattr(config, "workerinput"):
        return
    slow = set()
    for item in items:
        file = item.path.relative_to(config.rootpath / "tests").as_posix()
        item.group = SHARED.get(file, file)
        item.add_marker(pytest.mark.xdist_group(item.group))
        if item.get_closest_marker("slow"):
            slow.add(item.group)
    items.sort(key=lambda item: item.group not in slow)
