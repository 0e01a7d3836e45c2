"""Files made to do harm, each through the real command in a process of its own.

Those that take seconds are run by `make faults`.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

if sys.platform == "win32":
    pytest.skip("limits, pipes and links of POSIX", allow_module_level=True)

from trials.hostile_files import Hostile, tried
from trials.hostile_traps import COUNTS, JOBS, LINKS, NAMES, TRAPS, XMLS, ZIPS

QUICK = [
    trap
    for trap in (*ZIPS, *XMLS, *COUNTS, *LINKS, *NAMES, *JOBS)
    if any(word in trap.name for word in (
        "lies", "entries in one", "laughs", "local file", "200 000 times", "as long", "without end",
        "before the first", "far back", "90 000", "ring", "zero", "pipe", "link as", "CON", "\\n",
        "utf-16", "xxx", "inside out",
    ))
]  # fmt: skip


@pytest.mark.parametrize("trap", QUICK, ids=[trap.name.encode("ascii", "replace").decode()
                                             for trap in QUICK])  # fmt: skip
def test_a_trap(trap: Hostile, tmp_path: Path) -> None:
    assert tried(trap, tmp_path).code in trap.codes


def test_each_trap_has_a_name_of_its_own() -> None:
    names = [trap.name for trap in TRAPS]
    assert len(set(names)) == len(names) > 130
