"""Write docs/pot-card.md, with a card that the tool makes: ``make commands``.

A test holds the committed page to the output of `page`.
"""

# ruff: noqa: E501 - a sentence a line, as in every page

from __future__ import annotations

import contextlib
import io
import tempfile
from pathlib import Path

from mouldgen.cli import main

PAGE = Path(__file__).with_name("pot-card.md")
JOB = "boathouse-pegs"

HEAD = """\
# The pot card

`mouldgen potcard JOB` prints a page of plain text for each time the pot is shut, to hang beside it: gloves are on by then, and screens are out of reach.
This page is written by `make commands`; the words are in `docs/make_pot_card.py`, the card is the tool's own.

| part | what it tells |
| --- | --- |
| top | load, pour, moulds, pieces, on the first load that it is the first article, colours, what is lettered on the moulds; blanks for date, temperature and humidity of the shop beside the temperature that the clock was reckoned with |
| before the pour | boxes: weight, water test, release, hold, relief valve, gloves, eyes and lungs by the kind of resin; with wood that cannot be had again, the test casting; from the second load on, that the first article is approved |
| weigh | parts A and B of every mix in big digits, to the scale's digit; tint, cups in the order that they are tinted, when each is started and poured out |
| clock | mixing, the first pour, the moment by which all is pressed, the latest one and what sets it |
| pour | height of the line, what one mould takes, what goes in first |
| pot | moulds by number where they stand, seen from above with the back on top, headroom, pressure, valve, hold, vent |
| after | the window for the next pour, demoulding, turning, what to do with what is left over |
| mind | the cautions that apply, in full as far as there is room |

The grams are those of `mouldgen resin`, and a test holds one to the other.
A pressure is told only where the pot's rating was typed from its plate and is not exceeded; else there is a blank for a pencil.
Times of demoulding, of turning and of the window are the resin card's, from mixing: the data sheet goes before them.
Without a weight for a tint, its blank is for your own.

**Paper.** 78 columns, 62 lines for A4 and 59 for Letter, at ten characters and six lines to the inch. Big digits of five lines are 21 mm high on paper. Where there are many mixes they become smaller, and cautions short; a load that still does not fit is refused.
**Printing.** `mouldgen potcard JOB | lp`; between two cards stands a form feed. `--out DIR` writes one file a card, as UTF-8. On a terminal without block characters digits are drawn with `#`, and the clock is plain.
**Not ready.** While something must be fixed, every card says `NOT READY` on top, and the exit code is 1.

This is the second card of the shipped job `boathouse-pegs`; the first is that of the first article, one mould alone:

"""


def page() -> str:
    """The whole page, ready to be written."""
    return f"{HEAD}```\n{example()}```\n"


def example() -> str:
    """The second card of the demo, as ``--out`` writes it."""
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(io.StringIO()):
        main(["potcard", JOB, "--out", folder])
        return Path(folder, JOB, "cards", "load-2.txt").read_text(encoding="utf-8")


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    print(f"written: {PAGE.name}")
