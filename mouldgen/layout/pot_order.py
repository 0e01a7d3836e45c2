"""The pot loads of a whole order, from a job and the size of its mould."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, cast

from mouldgen.layout.pot import PotPlan, plan_pot
from mouldgen.layout.pot_mould import (
    blanks_in,
    catch_mould_in_pot,
    least_moulds,
    mould_in_pot,
)

if TYPE_CHECKING:
    from mouldgen.job.model import Job
    from mouldgen.job.shop_tables import Extras
    from mouldgen.mould.extras.question import ExtrasQuestion
    from mouldgen.size import Size, SizeQuestion
    from mouldgen.size.mould_size import MouldSize


def pot_of_order(
    job: Job,
    size: MouldSize,
    *,
    sizes: SizeQuestion,
    blanks: int,
    printed: int,
    first_alone: bool = False,
) -> PotPlan | None:
    """The fewest loads in which all blanks of an order are cast; None where the job has no pot.

    A mould that is used again goes in as often as it is filled, and a load never holds more moulds
    than there are.  Catch moulds, a drip tray and a pot rack of [extras] are reckoned with.

    job : its pot, resin and extras.
    size, sizes : of the mould, in closed form.
    blanks : to cast in all; of a mould with several cells each counts.
    printed : moulds that are printed.
    first_alone : whether the first filling is a load of its own.

    Raises NoAnswerError where one mould does not go into the pot, or not into its rack.
    """
    if job.pot is None:
        return None
    rubber = job.mould.family == "master"
    each = blanks_in(size)
    # Of a rubber mould one cavity is filled for the first: its other blanks come with the rest.
    first = (1 if rubber else each) * first_alone
    filled = first_alone + math.ceil((blanks - first) / each)
    question = None if job.extras is None else _question(job, job.extras, size, sizes, printed)
    seats = None
    if question is not None and question.extras.pot_rack:
        from mouldgen.mould.extras.in_pot import in_pot  # late: most jobs print no rack

        seats = in_pot(question).seats
    catches = 0 if question is None else question.extras.catch_moulds
    return plan_pot(
        mould_in_pot(size),
        pot=job.pot,
        moulds=filled,
        at_once=(job.mould.sets or 1) if rubber else printed,
        least_per_load=least_moulds(size, job.resin),
        first_alone=first_alone,
        catch=catch_mould_in_pot(question) if question is not None and catches else None,
        catches=catches,
        seats=seats,
        tray_mm=sizes.floor_mm if question is not None and question.extras.drip_tray else 0.0,
    )


def _question(
    job: Job, extras: Extras, size: MouldSize, sizes: SizeQuestion, printed: int
) -> ExtrasQuestion:
    from mouldgen.job.mixed import mixed_g_ml
    from mouldgen.mould.extras.question import ExtrasQuestion

    return ExtrasQuestion(
        extras=extras,
        # Only tray and rack ask for its bore, and a job of a block or a tray has neither.
        size=cast("Size", size),
        sizes=sizes,
        printer=job.printer,
        pot=job.pot,
        chord_mm=job.mould.chord,
        lettered=job.mould.lettering,
        moulds=printed,
        mould_ml=blanks_in(size) * (size.net_ml + size.riser_ml),
        resin_g_ml=mixed_g_ml(job.resin),
    )
