"""`uv run pytest tests/bench --benchmark-enable` prints the times; ratios are checked always."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.bench.side_by_side import Work, least_ratio

Beside = Callable[..., Any]


@pytest.fixture
def beside(benchmark: Any) -> Beside:
    """Checks that a work takes at most `goal` times its baseline; answers what the work answers."""

    def checked(work: Work, baseline: Work, *, goal: float, rounds: int = 5) -> object:
        answer = benchmark(work)  # once, unless times were asked for: what is read once is read now
        ratio = least_ratio(work, baseline, goal=goal, rounds=rounds)
        benchmark.extra_info |= {"ratio": round(ratio, 3), "goal": goal}
        print(f"\n{ratio:.2f} times its baseline; goal {goal:.4g}")  # noqa: T201 - seen with -s
        assert ratio <= goal
        return answer

    return checked
