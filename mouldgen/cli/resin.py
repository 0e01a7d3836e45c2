"""``mouldgen resin``: what to weigh out, into which cup, and when it must be under pressure."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from mouldgen.cli.amounts import amounts_table, ratio_shift
from mouldgen.cli.asked import Asked
from mouldgen.cli.findings import say_findings
from mouldgen.cli.gap import first_sentence, say_remedies
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.cli.sessions import say_sessions, sessions_data
from mouldgen.cli.words import percent, volume
from mouldgen.finding import worst_first
from mouldgen.sheet.number_words import grams
from mouldgen.sheet.order_work import mixed
from mouldgen.units import imperial_fl_oz, us_fl_oz

if TYPE_CHECKING:
    from mouldgen.mix.amounts import Amounts, Batch
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould_set import MouldSet


def show_resin(asked: Asked) -> int:
    """Say the amounts; 1 where there is no gap or something must be fixed."""
    from mouldgen.build import build_moulds

    loaded = asked.load()
    with busy(f"Working out the moulds of {loaded.job.name}", quiet=asked.quiet):
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
        made = mixed(found)
    stopped = found.stopped or (made is not None and made.stopped)
    if asked.json:
        say_json(_data(found, made), of=loaded)
    elif found.amounts is None:
        inches = loaded.job.unit == "in"
        say_wrapped(first_sentence(found.answer.gap, inches=inches))
        say_remedies(found.answer.gap, inches=inches)
    else:
        say(amounts_table(found.amounts))
        if not asked.quiet:
            _say_reasons(found, found.amounts, made)
            if made is not None:
                say_sessions(made, found.answer.job, verbose=asked.verbose)
            _say_cautions(found.answer.job.resin.kind)
            say()
        of_the_set = [
            f
            for f in found.findings
            if f.severity == "stop" or f.rule == "mix" or f.id == "gap.learned"
        ]
        say_findings(
            worst_first([*of_the_set, *(made.findings if made else ())]),
            quiet=asked.quiet,
            verbose=asked.verbose,
            inches=found.answer.job.unit == "in",
        )
    return int(stopped)


def _say_cautions(kind: str) -> None:
    """What the resin itself can do to whoever mixes it."""
    from mouldgen.job.cautions import cautions_for

    told = cautions_for(kind, pressure=False)
    say_wrapped(" ".join(caution.short for caution in told if caution.topic in (kind, "heat")))


def _say_reasons(found: MouldSet, amounts: Amounts, made: Mixing | None) -> None:
    resin = found.answer.job.resin
    least = (
        "" if made is None else f", and never less than {made.question.stock.cup_loss_g:g} g a cup"
    )
    say()
    say_wrapped(
        f"One mould holds {volume(amounts.per_mould_ml)}. {percent(resin.loss)} more is mixed"
        f" for what stays in cups and on sticks{least}."
    )
    a, b = resin.ratio
    say_wrapped(
        f"The card says A to B {a:g}:{b:g} by {resin.ratio_basis}; by mass that is"
        f" 100:{amounts.b_per_100_a:.1f}."
    )
    shifts = [f"{percent(ratio_shift(amounts.one), places=1)} for one mould"]
    if amounts.moulds > 1:
        shifts.append(f"{percent(ratio_shift(amounts.all), places=1)} for all {amounts.moulds}")
    digit = grams(amounts.scale_g, digit_g=amounts.scale_g)
    say_wrapped(f"Rounding up to {digit} g changes the share of B by {' and '.join(shifts)}.")


def _data(found: MouldSet, made: Mixing | None) -> dict[str, Any]:
    from mouldgen.files.report import conflict_data, learned_data

    amounts = found.amounts
    data: dict[str, Any] = {"job": found.answer.job.name, "moulds": found.answer.moulds}
    if amounts is None or made is None:
        return {**data, **conflict_data(found.answer)}
    return {
        **data,
        "per_mould_ml": round(amounts.per_mould_ml, 3),
        "density_g_ml": round(amounts.density_g_ml, 4),
        "b_per_100_a": round(amounts.b_per_100_a, 2),
        "scale_g": amounts.scale_g,
        "one": _batch(amounts.one),
        "all": _batch(amounts.all),
        "mixing": sessions_data(made, found.answer.job),
        "learned": learned_data(found.answer.question.learned),
    }


def _batch(batch: Batch) -> dict[str, float]:
    return {
        "poured_ml": round(batch.poured_ml, 3),
        "mixed_ml": round(batch.mixed_ml, 3),
        "mixed_us_fl_oz": round(us_fl_oz(batch.mixed_ml), 3),
        "mixed_imperial_fl_oz": round(imperial_fl_oz(batch.mixed_ml), 3),
        "a_g": batch.a_g,
        "b_g": batch.b_g,
        "total_g": batch.total_g,
        "ratio_shift": round(ratio_shift(batch), 5),
    }
