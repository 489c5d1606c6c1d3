"""What holds for all tests."""

import os

# as the command does for itself: workers share the processors, and a second thread of each would only wait
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
