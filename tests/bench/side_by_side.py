"""Two works timed in turn in one run: the machine's own speed falls out, no seconds are asserted.

The least processor time of this thread is taken, with the collector of garbage off: neighbours on
the machine, and what earlier tests left behind, do not count.
"""

import gc
import time
from collections.abc import Callable

Work = Callable[[], object]


def seconds_of(work: Work) -> float:
    """Processor time of one run, in this thread alone."""
    start = time.thread_time()
    work()
    return time.thread_time() - start


def least_ratio(
    work: Work, baseline: Work, *, goal: float, rounds: int = 5, most: int = 25
) -> float:
    """Least time of the work ÷ least time of the baseline.

    Above the goal it is measured on, up to `most` rounds, so that a busy moment proves nothing.
    """
    collected = gc.isenabled()
    gc.disable()
    try:
        least = least_beside = float("inf")
        for done in range(1, most + 1):
            least = min(least, seconds_of(work))
            least_beside = min(least_beside, seconds_of(baseline))
            if done >= rounds and least <= goal * least_beside:
                break
    finally:
        if collected:
            gc.enable()
    return least / least_beside
