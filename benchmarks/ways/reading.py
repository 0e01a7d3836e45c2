"""The numbers of a file that `benchmarks.ways.numbers` wrote; nothing of mouldgen is loaded."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace


def read(file: Path) -> SimpleNamespace:
    """Each number by its name."""
    return named(file.read_text(encoding="utf-8"))


def named(text: str) -> SimpleNamespace:
    """Each number of a JSON text by its name."""
    found: SimpleNamespace = json.loads(text, object_hook=lambda held: SimpleNamespace(**held))
    return found
