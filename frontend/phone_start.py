"""What the phone's Python does first, and what it is asked. Packed and compiled by build-engine.mjs.

`answer` is all that the page calls.
"""

import dataclasses
import gc
import json
import marshal
from collections.abc import Mapping
from pathlib import Path
from types import CodeType

# Each dataclass writes its methods as text and compiles them, at every start: on a phone half of what
# the engine takes to start. The build has compiled the same texts; one it does not know goes as ever.
COMPILED: Mapping[str, CodeType] = marshal.loads(Path(__file__).with_name("methods.bin").read_bytes())
dataclasses.exec = lambda text, *names: exec(COMPILED.get(text, text), *names)  # type: ignore[attr-defined]

gc.disable()  # nothing of what is loaded now ever becomes garbage

from inspect_app.engine import api  # noqa: E402 - with what stands above
from inspect_app.engine.rules import own_rulebook  # noqa: E402

own_rulebook()  # now, so that the first tap is as quick as the next
gc.freeze()
gc.enable()


def answer(call: str, text: str) -> tuple[str, str]:
    """`text` and the document, or `refused` and the problems as JSON."""
    try:
        return "text", getattr(api, call)(text)
    except api.RecordError as refused:
        return "refused", json.dumps([{"path": p.path, "what": p.message} for p in refused.problems])
