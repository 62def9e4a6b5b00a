#!/usr/bin/env python
"""The command line: `demo`, `assess`, and Django's own commands."""

import os
import sys
from pathlib import Path


def main() -> None:
    """Run the command named on the command line."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "inspect_app.settings")
    if sys.argv[1:2] == ["demo"]:
        # The demo's people have published passwords: they never share a database with real work.
        demo_folder = Path(__file__).resolve().parent / "data" / "demo"
        os.environ.setdefault("INSPECT_DATA_DIR", str(demo_folder))
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
