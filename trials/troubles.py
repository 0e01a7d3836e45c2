"""Everything but a kill that can come in between: no room, no rights, Ctrl-C, others, the clock."""

from __future__ import annotations

import functools
import os
import random
import shutil
import sys
from collections.abc import Callable

from trials import tally
from trials.at_once import at_once
from trials.chores import know_all
from trials.clocks import turned
from trials.interrupts import interrupted, page_interrupted
from trials.no_room import can_mount, full, no_rights, page_full, read_only
from trials.odd_places import odd

Kind = Callable[[random.Random], str]


def case(seed: int) -> str:
    """Let one of them happen once."""
    kinds = _kinds()
    return kinds[seed % len(kinds)](random.Random(seed))


@functools.cache
def _kinds() -> tuple[Kind, ...]:
    """What can happen on this machine; a disk of one's own is for the superuser to make."""
    bound = os.geteuid() != 0 or shutil.which("setpriv") is not None
    disks: tuple[Kind, ...] = (full, full, read_only, page_full) if can_mount() else ()
    rights: tuple[Kind, ...] = (no_rights,) if bound else ()
    return (interrupted, odd, *disks, interrupted, at_once, *rights, turned, page_interrupted, odd)


if __name__ == "__main__":
    if "--one" not in sys.argv:
        know_all()
    sys.exit(tally.main("troubles", case, about=__doc__.partition("\n")[0], count=300))
