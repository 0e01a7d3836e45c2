"""Runs a command in this process and keeps what it printed."""

from __future__ import annotations

import contextlib
import io
import json
from dataclasses import dataclass
from typing import Any

from mouldgen.cli import main


@dataclass(frozen=True, eq=False)
class Run:
    """What came of a command: its exit code and both streams."""

    code: int
    out: str
    err: str

    @property
    def words(self) -> str:
        """Standard output with every run of blanks and line ends as one blank."""
        return " ".join(self.out.split())

    @property
    def json(self) -> Any:
        """Standard output as JSON; anything beside the one value is an error."""
        return json.loads(self.out)


def mouldgen(*words: str) -> Run:
    """Run ``mouldgen`` with these words."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(words)
    return Run(code, out.getvalue(), err.getvalue())
