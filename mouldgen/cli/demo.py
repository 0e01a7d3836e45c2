"""``mouldgen demo``: the shipped job, with pictures."""

from __future__ import annotations

from mouldgen.cli.asked import Asked
from mouldgen.cli.build import build_and_write
from mouldgen.cli.say import say, say_wrapped


def show_demo(asked: Asked) -> int:
    """Build the shipped job and say what to look at first."""
    code = build_and_write(asked, pictures=True, anyway=False)
    if not (asked.json or asked.quiet):
        folder = (asked.out / asked.job).as_posix()
        say()
        say_wrapped(
            f"Look first at {folder}/set-section.png: it shows the insert standing in its mould,"
            f" cut through the middle. Then open {folder}/beds/bed-1.3mf in your slicer: that is"
            " the mould to print and fill with water before all others."
        )
    return code
