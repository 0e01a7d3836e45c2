"""Write docs/commands.md from the commands' own help: ``make commands``.

A test holds the committed page to the output of `page`.
"""

# ruff: noqa: E501 - a sentence a line, as in every page

from __future__ import annotations

import contextlib
import io
import os
from collections.abc import Iterator
from pathlib import Path

from mouldgen.cli.app import COMMANDS, command

PAGE = Path(__file__).with_name("commands.md")
COLUMNS = 90

HEAD = """\
# Commands

This page is made from the commands themselves by `make commands`; the words between the boxes are in `docs/make_commands.py`.

A JOB is the path of a job file, or the name of a shipped job.
`--json` answers with one JSON object on standard output and nothing else there; whatever else is said goes to standard error.
`--set` may be given many times and goes before the job file: `--set order.pieces=24 --set mould.gap='1.5 mm'`.

| exit code | meaning |
| --- | --- |
| 0 | done |
| 1 | something must be fixed, or no gap fits: the answer is no |
| 2 | a file, a value or the words of the command cannot be used |
| 3 | the disk or the system failed, or mouldgen hit a bug |
| 130 | interrupted |
"""

WORDS = {
    "new": """\
Asks at most ten questions in the order of the work, shows where to put the calliper, and writes a job file that you can edit.
An empty answer, `?` or `don't know` takes what is usual and says what that is.
A file that is there is never written over, and nothing is written when the answers end early.
At the end it shows the gap and what to weigh.""",
    "gap": """\
Says in its first sentence how wide the gap is, what set it and what would narrow it; below that, what every rule asks for, as a table and as a plot in which a bar covers the gaps that a rule rules out.
`--pictures` draws that plot as `plots/gap.svg` in the job's folder.
Where no gap meets every rule it says why, and what would help, each with the gap that it would allow; the exit code is then 1.
With `--verbose` it adds what each rule rests on.

`--sweep` asks the rules again for a row of values of one key and writes what they answer into the job's folder, as CSV and as a picture: `--sweep pour.shop="15 C..30 C"` gives `plots/sweep-pour-shop.csv` and `plots/sweep-pour-shop.svg`.
A unit written once goes for both ends, and whole numbers stay whole: `--sweep insert.length="1..4 in"`, `--sweep order.pieces=10..40`.
In the CSV a bound that no gap meets is empty, one that does not bind is `inf`, and a value at which the job itself is refused has no gap but the reason.
The exit code is 1 where no value has a gap, and 2 where the job is refused at all of them.
What lies in `plots` stays until it is drawn again; a build leaves it alone.""",
    "build": """\
Makes the moulds and writes them into a folder of the job's name below `--out`: parts and beds as STL and 3MF, a picture of each bed, and `report.json`.
`--pictures` adds the set cut through the middle and taken apart, `pockets.svg` with the air that stays shut in when the mould is poured, and `gap.svg` with what every rule asks; a mould that is better leant gets `pockets-leaning.svg` too.
It is all or nothing: a run that fails leaves what was there.
The files of an earlier set, which its `report.json` lists, go; everything else in the folder stays, such as `plots` and what you put there.
A set with something that must be fixed is written only with `--anyway`; `MUST-FIX` is then part of every name, and the exit code is still 1.""",
    "resin": """\
Tells what to mix and what to weigh of parts A and B, for one mould and for all, in ml, US fl oz and g, and by how much rounding to the scale's digit moves the ratio.""",
    "demo": """\
Builds the shipped job `boathouse-pegs` with pictures, and says what to look at first.""",
    "heat": """\
Says in its first sentence whether the resin runs hot in the mould or in the cup.
Below that: how long a cup of several sizes stays liquid and how small to split the resin so that none gels before the mould is closed, when the resin in the mould gels, and the earliest that it is hard enough to leave it.
All of that comes as bands, since no data sheet tells how much heat a resin gives; the data sheet's own times go before them.
`--pictures` draws `plots/heat.svg` in the job's folder: temperatures over time against what the plastic stands, and how long a cup lasts over its size.
In a conflict the mould is reckoned at the gap that the rules ask for at least.
The exit code is 1 where there is no gap, or where the mould may run hot.""",
    "check": """\
Reads any STL, 3MF, OBJ, PLY, OFF or GLB and says whether it would print as a solid: closed, wound outward, no sealed hollows.
Of a scan it also names the holes one by one, stray bits, pieces of surface inside others, triangles that are there twice, and a size that speaks for a wrong unit; nothing is mended.
Where a solid passes through itself is looked for during a few seconds, and what was not looked at by then is said.
OBJ, PLY and OFF name no unit and are taken to be in mm; GLB is in metres by its specification.
The exit code is 1 where something must be fixed and 2 where a file cannot be read; the other files are still looked at.""",
    "beds": """\
Tells what lies on each bed and how much of it is used; bed 1 is one mould alone, to water-test.
`--moulds` lays out another number, `--set printer.card=round-240` another printer.""",
    "trial": """\
Makes one mould for each of several gaps, each lettered with its gap and with a letter, A for the narrowest, so that castings which differ in nothing else can be cut open and compared.
The table says for every rung which rules it breaks, whether that lets voids be expected, and what it costs in resin, for one mould and for the whole order; the rules are asked for the order's moulds, not for one of each.
`--gaps` takes a list, `0.6,0.9,1.2` or `"1/32,3/64 in"`, or a range, `0.6..1.4`, which `--steps` divides; a range is rounded to hundredths of a millimetre, which is what the moulds are lettered with.
`--around` takes the job's own gap in the middle and goes 40 % to either side of it.

The files go into a folder of the job's name with `-trial` behind it: the parts of every rung, one bed, or the fewest that hold them all, `trial.csv` with a line a rung, and `trial.json`.
A gap that makes no mould, such as one that the insert does not enter, is told of and kept out; with `--anyway` it is printed too and says `MUST-FIX` in its names.
The exit code is 1 where a rung must be fixed, also where the others were written.
`[extras]` are left out of a trial.""",
    "presets": """\
Lists the kinds of cards; `mouldgen presets resins` lists the cards of one kind, and `mouldgen presets resins casting-epoxy-slow` shows every number of a card and where it comes from.
Your own cards go before those shipped; the list of kinds says in which folder they are looked for.""",
    "schema": """\
Prints the JSON Schema of the job file, for editors that check a file while it is typed.""",
}


def page() -> str:
    """The whole page, ready to be written."""
    return "\n".join([HEAD, *(part for name in names() for part in _command(name))])


def names() -> list[str]:
    """The commands in their order."""
    return [function.__name__ for function in COMMANDS]


def _command(name: str) -> Iterator[str]:
    yield f"## {name}\n"
    yield WORDS[name] + "\n"
    yield f"```\n{help_of(name)}\n```\n"


def help_of(name: str) -> str:
    """What ``mouldgen NAME --help`` prints at a width of 90 columns."""
    before = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = str(COLUMNS)
    out = io.StringIO()
    try:
        with contextlib.redirect_stdout(out):
            command([name]).main([name, "--help"], prog_name="mouldgen", standalone_mode=False)
    finally:
        if before is None:
            del os.environ["COLUMNS"]
        else:
            os.environ["COLUMNS"] = before
    return "\n".join(line.rstrip() for line in out.getvalue().strip().splitlines())


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    print(f"written: {PAGE.name}")
