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
from mouldgen.cli.log_commands import OWN

PAGE = Path(__file__).with_name("commands.md")
COLUMNS = 90

HEAD = """\
# Commands

This page is made from the commands themselves by `make commands`; the words between the boxes are in `docs/make_commands.py`.

A JOB is the path of a job file, or the name of a shipped job.
`--json` answers with one JSON object on standard output and nothing else there; whatever else is said goes to standard error.
`--set` may be given many times and goes before the job file: `--set order.pieces=24 --set mould.gap='1.5 mm'`.
What your castings teach goes into every answer where a castings file is there; `--no-castings` leaves it out, `--castings FILE` names another file: [the log](log.md).

| exit code | meaning |
| --- | --- |
| 0 | done |
| 1 | something must be fixed, no gap fits, or a date cannot be kept: the answer is no |
| 2 | a file, a value or the words of the command cannot be used |
| 3 | the disk or the system failed, or mouldgen hit a bug |
| 130 | interrupted |
"""

WORDS = {
    "new": """\
Asks at most ten questions in the order of the work, shows where to measure the insert and where to put the calliper, and writes a job file that you can edit.
It offers every shape of insert, a bundle as sticks, honeycomb or a heap known by its weight, and the moulds that take that insert, the usual one first.
An empty answer, `?` or `don't know` takes what is usual and says what that is; so does `later` for the profile of a turned insert, which then goes into the file with an explanation.
Many numbers are told in one line, fractions of an inch and millimetres as you like: `3/4 in x 18 mm x 6 in, one turn every 120 mm, left`.
An answer that cannot be read, or does not go with the others, is told and asked again; a scan is looked for, read and measured at once.
A file that is there is never written over, and nothing is written when the answers end early; the exit code is then 2.
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
Tells what to mix and what to weigh of parts A and B, for one mould and for all, in ml, US fl oz and g, and by how much rounding to the scale's digit moves the ratio.
Below that stands every session: what is weighed into which cup, in which order the cups are tinted and poured, when the pot must be shut, and what goes into catch moulds. [Mixing](mixing.md) says how that is reckoned.
With `--verbose` the whole clock is written out, step by step; with `--quiet` the sessions are left out.""",
    "potcard": """\
Prints a page of plain text for each time the pot is shut, to hang beside it: what to weigh in big digits, the clock, where the moulds stand, boxes to tick, blanks for a pencil and what to mind. [The pot card](pot-card.md) shows one.
A load that is filled in several pours has a card for each, with the window for the next.
The grams are those of `mouldgen resin`.
A pressure is told only where the pot's rating is known and not exceeded; else there is a blank.
`--paper letter` keeps to 59 lines instead of the 62 of A4; `--load 2` prints that load alone.
Between two cards stands a form feed, at which a printer starts a new sheet: `mouldgen potcard JOB | lp`.
`--out DIR` writes them instead, as `cards/load-1.txt` and so on in the job's folder; cards of an earlier run go, whatever else lies there stays.
With something that must be fixed every card says `NOT READY` on top, and the exit code is 1.""",
    "log": """\
Keeps what was poured and what was found at the lathe, a row a casting, in one file of your own; nothing leaves the machine. [The log](log.md) says what each word means, where the file lies and how it is moved.
Alone it lists the loads that wait for their result.

`mouldgen log pour boathouse-pegs:2` writes load 2 of the pot card down as the card has it; what was different is told: `--shop "19 C"`, `--close "16 min"`, `--pressure "45 psi"`, `--when "2026-11-20 18:30"`, `--gap "1-4=0.9 mm"`, `--moulds "1-6, 8"`, `--note`.
Without `:2` it is the only load, or the next one that was not poured; with several pours the first opens the load and the later ones are noted.
A pressure above the pot's rating, and a resin that had gelled before the mould was shut, are written down as told, with a warning.

`mouldgen log result 12 "voids in 3 and 7, 7 scrapped, 25 min"` says what was found; numbers are those on the pot card, quotes may be left out, and what was understood is told in one sentence.
Only voids that break the finished surface count, and a casting that was repaired is not scrapped.
What could mean two things is asked back, with exit code 2 where nobody can be asked. At a terminal, without words, it asks three questions.
Said again, a result replaces the one before.

`mouldgen log undo` takes the last pour, result or reading back, and called again goes further back.
`mouldgen log save FILE.csv`, or `.json`, writes all rows, `mouldgen log read FILE` takes such rows in, all of them or none, and `mouldgen log copy FILE` copies the file.""",
    "tune": """\
Says in one sentence what the last loads showed, at which gap a good piece costs least, and what that takes and saves against the gap of today; without castings it says that it has only the physics. [The log](log.md) says what the castings move, [what castings teach](tuning.md) how.
Below it stands the chance of a void at some gaps, with the castings that stand for each, then how sure that is, whether the castings speak against the physics, and what was learned of yield and of resin that is lost; where you wrote those, what the log would say.
Last comes the trial that is worth its money, or that none is, with the line that makes its moulds and the line that writes its pour down.
`--pieces` says how many good ones are still to be made, which is what a trial is worth something for.
`--pictures` draws the chance of a void as `plots/tune.svg` in the job's folder.
A gap that you wrote is left as it is.
Where nothing can be said of the gap, such as of a resin that gels before the mould is shut, it says why; the exit code is then 1.
A castings file that cannot be read is refused here, with exit code 2; every other command says so in one line and reckons with the physics alone.""",
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
Lines and layers are those of the printer card that `--printer` names, and it says which were taken.
Of a scan it also names the holes one by one, stray bits, pieces of surface inside others, triangles that are there twice or stick out, corners that are nearly one, and a size that speaks for a wrong unit; nothing is mended.
Where a solid passes through itself is looked for during a few seconds, and what was not looked at by then is said.
OBJ, PLY and OFF name no unit and are taken to be in mm; GLB is in metres by its specification.
The exit code is 1 where something must be fixed and 2 where a file cannot be read; the other files are still looked at.""",
    "beds": """\
Tells what lies on each bed and how much of it is used; bed 1 is one mould alone, to water-test.
`--moulds` lays out another number, `--set printer.card=round-240` another printer.""",
    "pot": """\
Tells how many moulds the pot takes at once, on one tier or on several, and shares the order out among the fewest loads, as evenly as it goes.
Each load comes with the numbers of its moulds in the order of pouring, its tiers and the height that is left over; the first is drawn in the terminal, seen from above.
A mould that is cast several times goes in each time, and no load holds more moulds than there are; catch moulds, a drip tray and a pot rack of `[extras]` are reckoned with.
`--moulds` loads another number, `--pictures` draws each load as `plots/pot-load-1.svg` and so on in the job's folder.
No pressure above the pot's rating is ever told, and none without one.
The exit code is 1 where there is no gap, or where one mould does not go into the pot.
[Pot loads](pot-loads.md) tells how it is reckoned.""",
    "buy": """\
Lists what the whole job takes: resin in the cheapest packs that hold it, with what is left over; each tint; rubber; filament; inserts with their spares, and what each takes of a board, saw cuts counted; hardware; gloves, cups and sticks. [What to buy](buying.md) says how each is reckoned.
Prices are the job's, the cards' and those of `presets/cost.toml`; what has none stays on the list and out of the total, and it says what to give.
A `[resin] price` that you wrote goes before the packs of the card.
A `resin_budget` that the packs exceed is told.
With the customer's own wood, the resin, filament and wood of a test casting are on the list.
`--quick` takes closed forms, without solids: at once, without filament and rubber.
The exit code is 1 where there is no gap, or something must be fixed.""",
    "plan": """\
Says on which day the order is ready and whether that keeps its date, and writes the work out day by day: drying, printing, water tests, the first article, pot loads, second pours, the lathe, voids that are filled.
Below that stands what one more pot, printer, mould, person or working day would change, and what holds the work up most. [The plan](plan.md) says how it is reckoned.
`--today 2026-11-30` begins on that day; `[order] start` does so for a job.
The exit code is 1 where the date cannot be kept or something must be fixed.
A pot without the rating from its plate is refused.""",
    "quote": """\
Says what an order costs, a piece and in all, each with the range in which it should lie; when it can be ready, as the work is planned; which wood and hardware it takes; what is left out; until when it stands; and what it rests on that nobody gave. [What a piece costs](cost-and-quote.md) says how each number is reckoned.
It is an estimate and no promise.
With a job it makes the solids, for what printing takes; `--quick` leaves them out.
Without one it asks six questions, of which Enter alone takes what is usual, or none where `--piece`, `--count` or `--due` tell the order: `mouldgen quote --piece "26 mm x 60 mm" --count 18 --due 2026-12-18`.
All else is taken as usual, and told; `--set` changes any of it, the `shop.toml` of the folder counts, and `--out FILE` writes a job file to go on from.
`--verbose` breaks the cost down, and names every number that nobody gave and what it rests on.
The exit code is 1 where there is no gap, something must be fixed, or the due date cannot be kept; the earliest day that can is then told.""",
    "sheet": """\
Writes `sheet.html` into the job's folder below `--out`: order, insert, gap, mould, resin, beds, pot, calendar, cut list, what to buy, log, findings and cautions, then a pot card for each time the pot is shut. [The job sheet](sheet.md) tells what stands where.
It is one file that any browser shows and prints: no script, nothing from elsewhere.
Every number is that of the command which tells it alone; `--json` lists all of them by name.
`--paper letter` prints on Letter instead of A4; `--today` takes another first day for the calendar.
With something that must be fixed it is written all the same, says so on top, and the exit code is 1.""",
    "page": """\
Opens the job sheet in your browser: the same document that `mouldgen sheet` prints, its numbers editable where they stand, the mould turning in it.
It says the address, `http://127.0.0.1:PORT/`, and runs until Ctrl-C, which ends it with exit code 130.
Without JOB it opens the shipped job boathouse-pegs as a copy to be saved under a name of your own. Files are read and written in one folder only: that of JOB, or `--folder`.
Without `--port` it takes the first free one from 8765 on; a port that you name and that is taken is told.
Only this machine can open it. `--host ADDRESS` lets other devices of your network open it too, with the address that is then shown: the token in it is the only key, and nothing on the way is encrypted.""",
    "shortcut": """\
Puts a shortcut on the desktop that opens the page for one folder of jobs; on Linux into the list of programs too. [Installing](install.md) says what it looks like on each system.
Without `--folder` that is `mouldgen-jobs` in your own folder, which is made where it is not there.
It says which files it wrote. A second time it writes them anew, for another folder for instance; one that it did not make is never touched.
`--remove` takes them away again; the jobs stay.
It takes no rights but your own. It is tried on Linux; on Windows and macOS it is not tried yet.""",
    "dry": """\
Reads a log of weighings, a CSV file with a line for each: piece, when, weight. [The drying log](drying.md) says how it decides.
For each piece it says how much it lost an hour, whether it is at constant weight, when it should be, and when to weigh it again; a weight that rises is told.
`--add "A1 412.3 g"` puts a weighing at the end, with the present time or that of `--when`; the file is made where it is not there, and every byte that was in it stays.
The exit code is 0 where every piece is at constant weight, 1 where one is not, and 2 where a line cannot be read; it is then named by its number, and nothing is added.""",
    "trial": """\
Makes one mould for each of several gaps, each lettered with its gap and with a letter, A for the narrowest, so that castings which differ in nothing else can be cut open and compared.
The table says for every rung which rules it breaks, whether that lets voids be expected, and what it costs in resin, for one mould and for the whole order; the rules are asked for the order's moulds, not for one of each.
`--gaps` takes a list, `0.6,0.9,1.2` or `"1/32,3/64 in"`, or a range, `0.6..1.4`, which `--steps` divides; a range is rounded to hundredths of a millimetre, which is what the moulds are lettered with.
`--around` takes the job's own gap in the middle and goes 40 % to either side of it.
`--each` prints several moulds of every gap: one casting of each says little of voids. The answer has the line that writes their pour into the log.

The files go into a folder of the job's name with `-trial` behind it: the parts of every rung, one bed, or the fewest that hold them all, `trial.csv` with a line a rung, and `trial.json`.
A gap that makes no mould, such as one that the insert does not enter, is told of and kept out; with `--anyway` it is printed too and says `MUST-FIX` in its names.
The exit code is 1 where a rung must be fixed, also where the others were written.
`[extras]` are left out of a trial.""",
    "catalogue": """\
Makes many variants of a job and writes a table with a row of each: whether it is ready, its gap and what set it, volumes, moulds, resin, filament, beds, the first thing that must be fixed. [The catalogue](catalogue.md) says how a table is written and what each column means.
A TABLE is a CSV file: above each column a key such as `insert.diameter`, on each line what a variant sets; a column `name` names it. `--grid` takes the values instead: `--grid "insert.diameter=26,28,30 mm" --grid order.pieces=6,12` is six variants.
What cannot be read of a table, and more than 100 000 variants, is refused before any work; what is wrong with one variant is told in its row, with line and key, and the others are made.
The files go into a folder of the job's name with `-catalogue` behind it: `catalogue.csv`, `report.json`, and `rows.jsonl`, from which the same words go on after an interruption and make only what is missing or has changed. `--again` makes all anew.
`--sets` also writes the moulds of each variant that needs no fixing, as `build` does, into `sets`.
All cores are used, or `--workers`; a variant that takes longer than `--limit` is given up. `--scheduler` hands the work to a Dask cluster that is there already.
The exit code is 1 where none of the variants is ready.""",
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
    for own in OWN if name == "log" else ():
        yield f"```\n{help_of(name, own)}\n```\n"


def help_of(*words: str) -> str:
    """What ``mouldgen WORDS --help`` prints at a width of 90 columns."""
    before = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = str(COLUMNS)
    out = io.StringIO()
    try:
        with contextlib.redirect_stdout(out):
            command(words).main([*words, "--help"], prog_name="mouldgen", standalone_mode=False)
    finally:
        if before is None:
            del os.environ["COLUMNS"]
        else:
            os.environ["COLUMNS"] = before
    return "\n".join(line.rstrip() for line in out.getvalue().strip().splitlines())


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    print(f"written: {PAGE.name}")
