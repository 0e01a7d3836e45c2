"""The resin to mix and to weigh out, as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.cli.tables import table
from mouldgen.sheet.number_words import grams
from mouldgen.units import us_fl_oz

if TYPE_CHECKING:
    from mouldgen.mix.amounts import Amounts, Batch

HEADING = ("to mix", "ml", "US fl oz", "A g", "B g", "A+B g")


def amounts_table(found: Amounts, *, indent: str = "") -> str:
    """One mould and all moulds: the mix with its loss, and the two parts on the scale."""
    rows = [HEADING, _row("one mould", found.one, found)]
    if found.moulds > 1:
        rows.append(_row(f"all {found.moulds}", found.all, found))
    return table(rows, right=(1, 2, 3, 4, 5), indent=indent)


def ratio_shift(batch: Batch) -> float:
    """By what share rounding to the scale's digit moved grams of B for each gram of A."""
    return (batch.b_g / batch.a_g) / (batch.exact_b_g / batch.exact_a_g) - 1.0


def _row(what: str, batch: Batch, found: Amounts) -> tuple[str, ...]:
    return (
        what,
        f"{batch.mixed_ml:.1f}",
        f"{us_fl_oz(batch.mixed_ml):.2f}",
        *(grams(g, digit_g=found.scale_g) for g in (batch.a_g, batch.b_g, batch.total_g)),
    )
