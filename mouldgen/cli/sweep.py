"""``mouldgen gap --sweep``: the budget for a row of values of one key, as CSV and picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.cli.asked import Asked
from mouldgen.cli.gap import answered, draw_bounds
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.cli.story import say_files
from mouldgen.cli.sweep_range import SweepRange, SweptValue, read_sweep
from mouldgen.cli.tables import table
from mouldgen.cli.words import gap as gap_words
from mouldgen.errors import MouldgenError, NoAnswerError
from mouldgen.job.words import printable
from mouldgen.sheet.number_words import grams

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.finding import Bound, Learned
    from mouldgen.job.load import LoadedJob

MOST_ROWS = 25  # on the terminal; the file has all


@dataclass(frozen=True, eq=False)
class SweepRow:
    """One value and what came of it.

    swept : the value.
    answer : of the budget; None where the job is refused.
    resin_g : to weigh for all moulds, loss included, without what fills grooves and pips; None
        where there is no gap [g].
    problem : why the job is refused, or None.
    """

    swept: SweptValue
    answer: Answer | None
    resin_g: float | None
    problem: MouldgenError | None

    @property
    def gap_mm(self) -> float | None:
        """The gap, or None where there is none [mm]."""
        return None if self.answer is None else self.answer.gap.gap_mm

    @property
    def bounds(self) -> tuple[Bound, ...]:
        """What every rule asks for; none where the job is refused."""
        return () if self.answer is None else self.answer.gap.bounds

    @property
    def set_by(self) -> str:
        """The rule that set the gap; empty where there is none."""
        return "" if self.answer is None or self.gap_mm is None else self.answer.gap.set_by

    @property
    def net_ml(self) -> float | None:
        """Resin to the fill line of one mould; None where there is no gap [ml]."""
        size = None if self.answer is None else self.answer.size
        return None if size is None else size.net_ml

    @property
    def reason(self) -> str:
        """Why there is no gap; empty where there is one."""
        if self.problem is not None:
            return str(self.problem)
        return "" if self.answer is None else self.answer.gap.conflict or ""


def show_sweep(asked: Asked, *, sweep: str, steps: int, pictures: bool = False) -> int:
    """Run the budget for each value, write CSV and picture; 1 where no value has a gap.

    sweep : as it was typed.
    steps : how many values.
    pictures : also draw the bounds of the job as it stands.

    Raises the job's own error where it is refused at every value.
    """
    loaded = asked.load()
    swept = read_sweep(sweep, steps=steps, unit=loaded.job.unit)
    with busy(f"Sweeping {swept.key}", quiet=asked.quiet):
        rows = [_row(asked, value, loaded.learned) for value in swept.values]
    if rows[0].problem is not None and all(row.problem is not None for row in rows):
        raise rows[0].problem
    folder = asked.out / loaded.job.name
    written = _write(folder, rows, swept, loaded)
    if pictures:
        gap = answered(loaded.job, learned=loaded.learned).gap
        still = draw_bounds(asked, gap, loaded=loaded)
        written = (*written, still)
    if asked.json:
        say_json(_data(rows, swept, loaded.job.name, written), of=loaded)
    else:
        _say(rows, swept, digit_g=loaded.job.shop.scale, quiet=asked.quiet)
        say_files(folder, written)
    return int(all(row.gap_mm is None for row in rows))


def _row(asked: Asked, value: SweptValue, learned: Learned) -> SweepRow:
    """With what castings teach the job as it stands: how far they move the rule is kept."""
    from mouldgen.cli.lessons import taken_over
    from mouldgen.errors import InputError
    from mouldgen.job.load import load_job

    try:
        swept = load_job(asked.job, sets=(*asked.sets, value.setting))
        answer = answered(taken_over(swept, learned).job, learned=learned)
        return SweepRow(value, answer, _resin_g(answer), None)
    except (InputError, NoAnswerError) as problem:
        return SweepRow(value, None, None, problem)


def _resin_g(answer: Answer) -> float | None:
    from mouldgen.mix.amounts import amounts

    if answer.size is None:
        return None
    return amounts(
        answer.size.net_ml * answer.size.blanks,
        riser_ml=answer.size.riser_ml * answer.size.blanks,
        features_ml=0.0,  # known only once the solids are made
        moulds=answer.fillings,
        resin=answer.job.resin,
        scale_g=answer.job.shop.scale,
    ).total_g


# ------------------------------------------------------------------------------------ files


def _write(
    folder: Path, rows: Sequence[SweepRow], swept: SweepRange, loaded: LoadedJob
) -> tuple[Path, ...]:
    from mouldgen.files.single import put_plots
    from mouldgen.fingerprint import fingerprint_of
    from mouldgen.sheet.sweep_picture import SweepPoint, sweep_svg

    stem = f"sweep-{swept.key.replace('.', '-').replace('_', '-')}"
    points = [SweepPoint(row.swept.value, row.gap_mm, row.set_by, row.bounds) for row in rows]
    title = f"{loaded.job.name}: the gap over {swept.key}"
    picture = sweep_svg(points, key=swept.key, unit=swept.unit, title=title)
    fingerprint = fingerprint_of(loaded.job, loaded.learned)
    table = sweep_csv(rows, unit=swept.unit, fingerprint=fingerprint)
    contents = {f"{stem}.csv": table.encode(), f"{stem}.svg": picture.encode()}
    return put_plots(folder, contents, fingerprint=fingerprint)


def sweep_csv(rows: Sequence[SweepRow], *, unit: str, fingerprint: str) -> str:
    """One line a value: gap, what set it, every bound, resin, and why there is no gap.

    A bound that nothing meets is empty, one that does not bind is ``inf``.

    unit : of the values, or empty.
    fingerprint : of the job that is swept.
    """
    import csv
    import io

    import mouldgen

    rules = _rules(rows)
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(
        ["value", "unit", "gap_mm", "set_by", *(f"{rule}_mm" for rule in rules), "net_ml",
         "resin_g", "reason", "fingerprint", "version"]
    )  # fmt: skip
    for row in rows:
        asked = {bound.rule: bound.value_mm for bound in row.bounds}
        write.writerow(
            [
                f"{row.swept.value:.10g}",
                unit,
                _cell(row.gap_mm, 2),
                row.set_by,
                *(_cell(asked.get(rule), 4) for rule in rules),
                _cell(row.net_ml, 3),
                "" if row.resin_g is None else f"{row.resin_g:g}",
                printable(row.reason),
                fingerprint,
                mouldgen.__version__,
            ]
        )
    return out.getvalue()


def _cell(value: float | None, places: int) -> str:
    return "" if value is None else f"{value:.{places}f}"


def _rules(rows: Sequence[SweepRow]) -> list[str]:
    return list(dict.fromkeys(bound.rule for row in rows for bound in row.bounds))


def _data(
    rows: Sequence[SweepRow], swept: SweepRange, name: str, written: Sequence[Path]
) -> dict[str, Any]:
    from mouldgen.files.report import gap_data
    from mouldgen.files.single import plot_name

    def bounds(row: SweepRow) -> dict[str, float | None]:
        data = [] if row.answer is None else gap_data(row.answer.gap)["bounds"]
        return {bound["rule"]: bound["value_mm"] for bound in data}

    return {
        "job": name,
        "key": swept.key,
        "unit": swept.unit,
        "rows": [
            {
                "value": row.swept.value,
                "gap_mm": row.gap_mm,
                "set_by": row.set_by or None,
                "bounds_mm": bounds(row),
                "net_ml": None if row.net_ml is None else round(row.net_ml, 3),
                "resin_g": row.resin_g,
                "reason": row.reason or None,
            }
            for row in rows
        ],
        "files": [plot_name(path) for path in written],
    }


# ------------------------------------------------------------------------------------ words


def _say(rows: Sequence[SweepRow], swept: SweepRange, *, digit_g: float, quiet: bool) -> None:
    say_wrapped(_first_sentence(rows, swept))
    for row in rows:
        if row.problem is not None:
            say_wrapped(f"At {_with_unit(row, swept)} the job is refused: {row.reason}")
            break
    if quiet:
        return
    say()
    heading = f"{swept.key} {swept.unit}".rstrip()
    lines = [(heading, "gap mm", "net ml", "resin g", "set by")]
    lines += [
        (
            f"{row.swept.value:g}",
            _cell(row.gap_mm, 2),
            _cell(row.net_ml, 1),
            "" if row.resin_g is None else grams(row.resin_g, digit_g=digit_g),
            _why(row),
        )
        for row in _thinned(rows)
    ]
    say(table(lines, right=(0, 1, 2, 3)))
    say()


def _first_sentence(rows: Sequence[SweepRow], swept: SweepRange) -> str:
    """How far the gap moves over the range, and where there is none."""
    first, last = rows[0], rows[-1]
    where = f"{swept.key} from {_with_unit(first, swept)} to {_with_unit(last, swept)}"
    met = [(row.gap_mm, row) for row in rows if row.gap_mm is not None]
    if not met:
        return f"Over {where} no gap meets every rule."
    (least, at_least), (most, at_most) = min(met, key=_gap), max(met, key=_gap)
    if least == most:
        told = f"the gap stays {gap_words(least, inches=False)}"
    else:
        told = (
            f"the gap is narrowest at {_with_unit(at_least, swept)} with"
            f" {gap_words(least, inches=False)}, set by {at_least.set_by}, and widest at"
            f" {_with_unit(at_most, swept)} with {gap_words(most, inches=False)}, set by"
            f" {at_most.set_by}"
        )
    none = [stretch for state, stretch in _states(rows) if state == "no gap"]
    spans = " and ".join(_span(stretch, swept) for stretch in none)
    return f"Over {where} {told}." + (f" No gap meets every rule {spans}." if none else "")


def _gap(met: tuple[float, SweepRow]) -> float:
    return met[0]


def _states(rows: Sequence[SweepRow]) -> list[tuple[str, list[SweepRow]]]:
    return [(state, list(group)) for state, group in groupby(rows, key=_state)]


def _state(row: SweepRow) -> str:
    if row.problem is not None:
        return "refused"
    return "no gap" if row.gap_mm is None else ""


def _span(stretch: Sequence[SweepRow], swept: SweepRange) -> str:
    first, last = _with_unit(stretch[0], swept), _with_unit(stretch[-1], swept)
    return f"at {first}" if len(stretch) == 1 else f"from {first} to {last}"


def _with_unit(row: SweepRow, swept: SweepRange) -> str:
    return f"{row.swept.value:g} {swept.unit}".rstrip()


def _why(row: SweepRow) -> str:
    if row.problem is not None:
        return "the job is refused"
    if row.answer is not None and row.gap_mm is None:
        return f"no gap: {row.answer.gap.set_by}"
    return row.set_by


def _thinned(rows: Sequence[SweepRow]) -> list[SweepRow]:
    """All rows, or so many evenly spread ones, the first and the last among them."""
    if len(rows) <= MOST_ROWS:
        return list(rows)
    last = len(rows) - 1
    return [rows[round(i * last / (MOST_ROWS - 1))] for i in range(MOST_ROWS)]
