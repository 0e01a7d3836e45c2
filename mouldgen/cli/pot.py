"""``mouldgen pot``: how many moulds the pot takes at once, where they stand, how many loads."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.cli.asked import Asked
from mouldgen.cli.gap import first_sentence, say_remedies
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped, width
from mouldgen.cli.tables import table
from mouldgen.cli.words import count, length

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.job.load import LoadedJob
    from mouldgen.job.model import Job
    from mouldgen.layout.pot import PotLoad, PotPlan

_COLUMNS, _LINES = 35, 17  # of a tier on the terminal
NO_POT = (
    "The job has no [pot]: its moulds cure in the open. How many are filled at one time the clock"
    " says: mouldgen resin."
)


def show_pot(asked: Asked, *, moulds: int | None, pictures: bool) -> int:
    """Say what goes into the pot, load by load; 1 where there is no gap.

    moulds : how many to load; None for as many as the order fills.
    pictures : also draw each load into the job's plots.

    Raises NoAnswerError where one mould does not go into the pot.
    """
    from mouldgen.answer import answer_job
    from mouldgen.job.first_article import first_alone

    loaded = asked.load()
    answer = answer_job(loaded.job, learned=loaded.learned)
    alone = moulds is None and first_alone(answer.job, answer.fillings)
    with busy(f"Loading the pot of {loaded.job.name}", quiet=asked.quiet):
        plan = _planned(answer, moulds, alone=alone)
    drawn = _draw(asked, plan, loaded) if pictures and plan is not None else ()
    if asked.json:
        say_json(_data(plan, answer, drawn), of=loaded)
    elif answer.size is None:
        inches = loaded.job.unit == "in"
        say_wrapped(first_sentence(answer.gap, inches=inches))
        say_remedies(answer.gap, inches=inches)
    elif plan is None:
        say_wrapped(NO_POT)
    else:
        _say_plan(plan, answer, alone=alone, quiet=asked.quiet)
        for path in drawn:
            say_wrapped(f"Picture: {path.as_posix()}")
    return int(answer.size is None)


def _planned(answer: Answer, moulds: int | None, *, alone: bool) -> PotPlan | None:
    if answer.size is None:
        return None
    from mouldgen.layout.pot_mould import blanks_in
    from mouldgen.layout.pot_order import pot_of_order

    size = answer.size
    return pot_of_order(
        answer.job,
        size,
        sizes=answer.sizes,
        blanks=answer.moulds if moulds is None else moulds * blanks_in(size),
        printed=answer.printed if moulds is None else max(moulds, answer.printed),
        first_alone=alone,
    )


# --------------------------------------------------------------------------------------- words


def _say_plan(plan: PotPlan, answer: Answer, *, alone: bool, quiet: bool) -> None:
    job, again = answer.job, _again(plan)
    inches = job.unit == "in"
    fillings = sum(load.moulds for load in plan.loads)
    what = count(fillings, "filling") if again else count(fillings, "mould")
    of = f" of {count(plan.at_once, 'mould')}" if again else ""
    say_wrapped(
        f"{what}{of} in {count(len(plan.loads), 'load')}: the pot takes"
        f" {plan.per_tier * plan.tiers} at once, {_tiers_words(plan)}."
    )
    say()
    rows = [("load", "fillings" if again else "moulds", "how many", "tiers", "height left")]
    for load in plan.loads:
        beside = f" + {count(load.catches, 'catch mould')}" if load.catches else ""
        rows.append(
            (
                str(load.number), _numbers(load), f"{load.moulds}{beside}", _shares(load),
                length(round(load.left_mm, 1), inches=inches),
            )
        )  # fmt: skip
    say(table(rows, right=(0,)))
    if alone:
        say()
        one = "cavity" if job.mould.family == "master" else "mould"
        say_wrapped(
            f"Load 1 is one {one} alone: it is finished and shown before the rest is cast"
            " ([order] first_article)."
        )
    if not quiet:
        _say_drawing(plan)
        _say_reasons(plan, inches=inches)
        if plan.per_load > 1:
            say_wrapped(
                "That is what the pot takes. The clock of the resin may let you fill fewer at one"
                " time, in more loads: mouldgen resin."
            )
        _say_pressure(job)
    _say_lacking(plan, job)


def _again(plan: PotPlan) -> bool:
    """Whether there are fewer moulds than fillings, so that a number is a filling's."""
    return plan.at_once < sum(load.moulds for load in plan.loads)


def _tiers_words(plan: PotPlan) -> str:
    if plan.tiers == 1:
        return "on one tier"
    return f"{plan.per_tier} on each of {plan.tiers} tiers"


def _numbers(load: PotLoad) -> str:
    first, last = load.numbers[0], load.numbers[-1]
    return str(first) if first == last else f"{first} to {last}"


def _shares(load: PotLoad) -> str:
    return " + ".join(
        str(sum(place.number is not None for place in tier.places)) for tier in load.tiers
    )


def _say_drawing(plan: PotPlan) -> None:
    """The first of the fullest loads; the others stand alike, with other numbers or fewer."""
    from mouldgen.sheet.pot_drawing import Mark, drawn, side_by_side

    load = max(plan.loads, key=lambda one: one.moulds)
    say()
    many = f", tiers 1 to {len(load.tiers)} from below" if len(load.tiers) > 1 else ""
    say_wrapped(f"Load {load.number} from above, the back of the pot at the head{many}:")
    say()
    radius = plan.pot.diameter / 2.0
    marks = [
        [
            Mark("c" if p.number is None else str(p.number), p.x_mm / radius, p.y_mm / radius)
            for p in tier.places
        ]
        for tier in load.tiers
    ]
    drawings = [drawn(each, columns=_COLUMNS, lines=_LINES) for each in marks]
    say(side_by_side(drawings, columns=width()))
    say()


def _say_reasons(plan: PotPlan, *, inches: bool) -> None:
    from mouldgen.layout.pot import tiers_in

    pot, mould = plan.pot, plan.mould
    say_wrapped(
        f"A closed mould is {length(mould.across_mm, inches=inches)} across and"
        f" {length(mould.height_mm, inches=inches)} high; the pot is"
        f" {length(pot.diameter, inches=inches)} wide inside and takes"
        f" {length(pot.usable_mm, inches=inches)}. {length(pot.margin, inches=inches)} are kept"
        f" free along the wall and {length(pot.spacing, inches=inches)} or more between moulds."
        + (
            f" The tray under them takes {length(plan.tray_mm, inches=inches)}."
            if plan.tray_mm
            else ""
        )
    )
    if plan.at_once < plan.per_tier * plan.tiers:
        say_wrapped(
            f"There are {count(plan.at_once, 'mould')} to fill at one time, so no load holds more."
        )
    higher = pot.model_copy(update={"tiers": 6})
    more = tiers_in(higher, mould.height_mm, tray_mm=plan.tray_mm)
    if len(plan.loads) > 1 and more > pot.tiers and plan.at_once > plan.per_tier * plan.tiers:
        say_wrapped(
            f"Its height has room for {more} tiers on shelves of"
            f" {length(pot.shelf, inches=inches)}: write [pot] tiers = {more} if you have them."
        )


def _say_pressure(job: Job) -> None:
    """The pressure asked for, never one above the plate."""
    from mouldgen.job.cautions import cautions_for
    from mouldgen.job.rating import pressure_words

    asked, rating = job.pour.pressure, job.pot.rating if job.pot else None
    if rating is None:
        say_wrapped(
            "Pressure: ____ psi. The pot's rating is not known: write what its plate says as"
            " [pot] rating."
        )
    elif asked is not None and asked <= rating:
        say_wrapped(f"Pressure: {pressure_words(asked)}; the plate says {pressure_words(rating)}.")
    say_wrapped(
        " ".join(c.short for c in cautions_for(job.resin.kind, pressure=True) if c.topic == "pot")
    )


def _say_lacking(plan: PotPlan, job: Job) -> None:
    """What the plan could not give: a whole batch for each load, room for catch moulds."""
    if plan.lacking:
        say_wrapped(
            f"The smallest load is {count(plan.lacking, 'mould')} short of the least batch of"
            f" {job.resin.least_batch:g} g: mix the whole batch all the same, and have a catch"
            " mould ready for what is over."
        )
    if plan.left_out:
        say_wrapped(
            f"{count(plan.left_out, 'catch mould')} found no room beside the moulds: what is over"
            " cures in the open, where it may foam."
        )


# ------------------------------------------------------------------------------ picture and data


def _draw(asked: Asked, plan: PotPlan, loaded: LoadedJob) -> tuple[Path, ...]:
    from mouldgen.files.single import put_plots
    from mouldgen.fingerprint import fingerprint_of
    from mouldgen.sheet.pot_picture import pot_svg

    name = loaded.job.name
    pictures = {
        f"pot-load-{load.number}.svg": pot_svg(
            plan, load, title=f"{name}, pot load {load.number} of {len(plan.loads)}"
        ).encode()
        for load in plan.loads
    }
    fingerprint = fingerprint_of(loaded.job, loaded.learned)
    return put_plots(asked.out / name, pictures, fingerprint=fingerprint)


def _data(plan: PotPlan | None, answer: Answer, drawn: tuple[Path, ...]) -> dict[str, Any]:
    from mouldgen.files.single import plot_name

    data: dict[str, Any] = {"job": answer.job.name, "conflict": answer.gap.conflict}
    if plan is None:
        return {**data, "pot": None, "loads": []}
    pot = plan.pot
    files = {"files": [plot_name(path) for path in drawn]} if drawn else {}
    return {
        **data,
        "pot": {
            "diameter_mm": pot.diameter,
            "usable_mm": pot.usable_mm,
            "margin_mm": pot.margin,
            "spacing_mm": pot.spacing,
            "rating_kpa": pot.rating,
        },
        "mould": {
            "across_mm": round(plan.mould.across_mm, 3),
            "height_mm": round(plan.mould.height_mm, 3),
        },
        "per_tier": plan.per_tier,
        "tiers": plan.tiers,
        "per_load": plan.per_load,
        "least_per_load": plan.least_per_load,
        "lacking": plan.lacking,
        "catch_moulds_left_out": plan.left_out,
        "loads": [_load_data(load) for load in plan.loads],
        **files,
    }


def _load_data(load: PotLoad) -> dict[str, Any]:
    return {
        "number": load.number,
        "moulds": load.moulds,
        "left_mm": round(load.left_mm, 3),
        "tiers": [
            {
                "stands_mm": round(tier.stands_mm, 3),
                "height_mm": round(tier.height_mm, 3),
                "places": [
                    {
                        "mould": place.number,
                        "x_mm": place.x_mm,
                        "y_mm": place.y_mm,
                        "turned": place.turned,
                    }
                    for place in tier.places
                ],
            }
            for tier in load.tiers
        ],
    }
