"""How the blank comes out of a mould, in one sentence for the maker."""

from __future__ import annotations

from mouldgen.job.model import Mould
from mouldgen.mould.families import family_of


def release_of(mould: Mould) -> str:
    """The family's sentence, or that of the feature that the maker asks for.

    mould : what the maker chose about it.
    """
    if mould.knock_out:
        return "Push the blank out from below with a rod; the disc comes out with it."
    if mould.score:
        return "Split the wall along its score line with a chisel, or turn it away."
    return family_of(mould.family).release
