"""``mouldgen buy``: what to buy for the whole job."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from mouldgen.cli.asked import Asked
from mouldgen.cli.buy_words import say_purchase
from mouldgen.cli.findings import say_findings
from mouldgen.cli.gap import first_sentence, say_remedies
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.errors import UsageError
from mouldgen.finding import worst_first
from mouldgen.sheet.order_work import Worked, purchase_of, worked_out

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.job.load import LoadedJob
    from mouldgen.shop.outcome import Expected, Outcome
    from mouldgen.shop.purchase import CountToBuy, Purchase


def show_buy(asked: Asked, *, quick: bool) -> int:
    """Say what to buy; 1 where there is no gap or something must be fixed.

    quick : closed forms only: no plastic, and the resin without ribs, pips and grooves.

    Raises UsageError where a mould has no closed form.
    """
    loaded = asked.load()
    with busy(f"Working out what {loaded.job.name} takes", quiet=asked.quiet):
        made = _quick(loaded) if quick else _built(loaded)
    if made.amounts is None:
        _say_conflict(asked, made, loaded)
        return 1
    given = loaded.given  # what a maker wrote goes before the card
    by_price = "resin.price" in given and "resin.packs" not in given
    found, outcome = purchase_of(made, made.amounts, by_price=by_price)
    stopped = any(finding.severity == "stop" for finding in (*made.findings, *found.findings))
    if asked.json:
        say_json({**_data(found, outcome, made.answer), "quick": quick}, of=loaded)
        return int(stopped)
    say_purchase(found, outcome, made.answer, quiet=asked.quiet)
    if quick and not asked.quiet:
        say()
        say_wrapped(
            "Reckoned in closed form, without solids: plastic and rubber are not on the list, and"
            " ribs, pips and grooves are not in the resin."
        )
    of_mix = [f for f in made.findings if f.severity == "stop" or f.rule == "mix"]
    say_findings(worst_first([*of_mix, *found.findings]), quiet=asked.quiet, verbose=asked.verbose)
    return int(stopped)


def _say_conflict(asked: Asked, made: Worked, loaded: LoadedJob) -> None:
    gap, inches = made.answer.gap, made.answer.job.unit == "in"
    if asked.json:
        from mouldgen.files.report import conflict_data

        say_json(conflict_data(made.answer), of=loaded)
        return
    say_wrapped(first_sentence(gap, inches=inches))
    say_remedies(gap, inches=inches)


def _built(loaded: LoadedJob) -> Worked:
    from mouldgen.build import build_moulds

    return worked_out(build_moulds(loaded.job, learned=loaded.learned, given=loaded.given))


def _quick(loaded: LoadedJob) -> Worked:
    from mouldgen.answer import answer_job
    from mouldgen.mix.amounts import amounts, findings_of

    if loaded.job.mould.family == "shell":
        raise UsageError(
            "a shell has no closed form: its cavity is measured", where="--quick",
            try_="Leave --quick out.",
        )  # fmt: skip
    answer = answer_job(loaded.job, learned=loaded.learned)
    size = answer.size
    if size is None:
        return Worked(answer, None, ())
    found = amounts(
        size.net_ml * size.blanks,
        riser_ml=size.riser_ml * size.blanks,
        features_ml=0.0,
        moulds=answer.fillings,
        resin=loaded.job.resin,
        scale_g=loaded.job.shop.scale,
    )
    return Worked(answer, found, findings_of(found))


def _data(found: Purchase, outcome: Outcome, answer: Answer) -> dict[str, Any]:
    from mouldgen.files.report import finding_data, learned_data

    resin, inserts, packs = found.resin, found.inserts, found.resin.packs
    return {
        "job": answer.job.name,
        "castings": answer.moulds,
        "resin": {
            "need_g": round(resin.need_g, 3),
            "for_a_test_g": round(resin.test_g, 3),
            "packs": None if packs is None else [
                {"holds_g": round(pack.holds_g, 3), "count": pack.count, "price": pack.price}
                for pack in packs.packs
            ],
            "left_g": None if packs is None else round(packs.left_g, 3),
            "cost": _money(resin.cost),
        },
        "tints": [
            {"name": tint.name, "resin_g": round(tint.resin_g, 3),
             "tint_g": None if tint.tint_g is None else round(tint.tint_g, 3)}
            for tint in found.tints
        ],
        "plastic": None if found.plastic is None else {
            "mass_kg": round(found.plastic.grams / 1000.0, 5), "cost": _money(found.plastic.cost),
            "price_from": found.plastic.told,
        },
        "inserts": {
            "count": inserts.count, "spares": inserts.spares, "for_a_test": inserts.tests,
            "sticks_each": inserts.sticks, "wood": answer.job.insert.wood,
            "customers_wood": inserts.customers,
            "rough_mm": None if inserts.rough_mm is None
            else [round(mm, 3) for mm in inserts.rough_mm],
            "each_g": round(inserts.each_g, 3), "cost": _money(inserts.cost),
            "price_from": inserts.told,
        },
        "hardware": None if found.hardware is None
        else {"thread": answer.job.piece.thread, **_counted(found.hardware)},
        "rubber_g": found.rubber_g,
        "consumables": _counted(found.consumables),
        "total": _money(found.total),
        "without_price": list(found.without_price),
        "price_of_presets": list(found.believed),
        "expected": {
            name: _expected(getattr(outcome, name)) for name in ("good", "filled", "lost")
        },
        "findings": [finding_data(finding) for finding in found.findings],
        "learned": learned_data(answer.question.learned),
    }  # fmt: skip


def _money(cost: float | None) -> float | None:
    return None if cost is None else round(cost, 2)


def _counted(what: CountToBuy) -> dict[str, Any]:
    return {"count": what.count, "cost": _money(what.cost), "price_from": what.told}


def _expected(expected: Expected) -> dict[str, float]:
    return {"mean": round(expected.mean, 3), "p10": expected.low, "p90": expected.high}
