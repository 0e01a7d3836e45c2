"""What looks like a slip of the keys in a pour: asked about, and written down as it was said."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from mouldgen.castings.load_words import listed

if TYPE_CHECKING:
    from mouldgen.castings.on_card import JobCard

# Nobody casts outside of these: common practice, no source.
_COLDEST_C, _HOTTEST_C = 5.0, 45.0
_TOO_LITTLE = 0.5  # of what the moulds take: a narrower gap than the job's takes less, but not so


def slips(
    *,
    numbers: Sequence[int],
    fillings: int,
    shop_c: float,
    gaps_mm: Sequence[float],
    used_g: float | None = None,
    least_g: float = 0.0,
) -> Iterator[str]:
    """Questions, a sentence each.

    numbers : of the castings.
    fillings : castings of the whole job.
    shop_c : temperature of the shop [C].
    gaps_mm : of the castings [mm].
    used_g : resin that was weighed out, less what was left over; None where not told [g].
    least_g : that the moulds take at the job's own gap, in one pour; 0 where not known [g].
    """
    from mouldgen.gap.heat import WIDEST_MM  # late: the log's list needs none of it

    beyond = [number for number in numbers if number > fillings]
    if beyond:
        yield (
            f"The job's castings are {listed(range(1, fillings + 1))}: is {listed(beyond)} in"
            " --moulds right?"
        )
    if not _COLDEST_C <= shop_c <= _HOTTEST_C:
        yield f"A shop at {shop_c:g} C would be unusual: is --shop right, C and not F?"
    if max(gaps_mm) > WIDEST_MM:
        yield (
            f"A gap of {max(gaps_mm):g} mm would be wider than any that is reckoned with,"
            f" {WIDEST_MM:g} mm: is --gap right?"
        )
    if used_g is not None and used_g < _TOO_LITTLE * least_g:
        yield (
            f"{used_g:.0f} g would not half fill moulds that take {least_g:.0f} g: are --mixed and"
            " --left right? The loss of resin is learned from them."
        )


def takes_g(card: JobCard, moulds: int) -> float:
    """Resin that moulds take at the job's own gap, in one pour; 0 where not known [g].

    card : what the job's pot cards say.
    moulds : how many.
    """
    from mouldgen.job.mixed import mixed_g_ml

    return moulds * card.mould_ml * mixed_g_ml(card.resin)
