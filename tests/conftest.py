"""What holds for all tests."""

import os

from hypothesis import settings

# as the command does for itself: workers share the processors, and a second thread of each would only wait
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# an example may take as long as a busy machine lets it
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

pytest_plugins = ("tests.processor_time", "pytester")
