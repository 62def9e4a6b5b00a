"""Whatever is written in a record: an assessment, or the list of its problems. Nothing else."""

import json
from typing import Any

from hypothesis import HealthCheck, given, settings

from inspect_app.engine import api
from tests.engine.mutation import records
from tests.engine.records import problems


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(records())
def test_a_changed_record_is_assessed_or_refused_with_named_problems(record: Any) -> None:
    named = problems(record)  # anything raised but RecordError fails the test here
    if named:
        assert all(message.strip() for message in named.values())
        return
    assessment = json.loads(api.assess(json.dumps(record)))
    assert assessment["format"] == "suspension-assessment/1"
    for finding in assessment["findings"]:
        beyond = finding["probability_beyond"]
        if beyond is not None:
            assert 1 >= beyond["A"] >= beyond["B"] >= beyond["C"] >= 0
