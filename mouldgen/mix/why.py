"""Why a job is mixed as it is, in one sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.mix.batches import Recipe, recipes

if TYPE_CHECKING:
    from mouldgen.mix.mixing import Mixing

_SAYS = {
    "together": "One clear mix a session, split into a cup for each colour",
    "quick-alone": "One clear mix for the colours that gel slowly, and a mix for each quick one",
    "separate": "A mix for each colour",
}


def why(made: Mixing) -> str:
    """The way that is taken beside the ones that were not; empty where there was no choice.

    made : how the resin is mixed.
    """
    if made.batches is None:
        return ""
    own = made.batches
    number = {cut.recipe: cut.mixes for cut in (own, *made.others)}
    tried = list(recipes(made.question))
    others = [recipe for recipe in tried if recipe != own.recipe and _differs(recipe, own.recipe)]
    if not others:
        return ""
    alone = _alone(made)
    told = [_beside(recipe, number.get(recipe), alone=alone) for recipe in others]
    return f"{_name(made, own.recipe)}: {_mixes(own.mixes)}; {'; '.join(told)}."


def _differs(one: Recipe, other: Recipe) -> bool:
    """Whether one is worth naming beside the other: tint first only where that is what is taken."""
    return not one.tint_before or other.tint_before


def _alone(made: Mixing) -> bool:
    """Whether a session has one colour only."""
    return len(made.question.tints) == 1 or made.need.way == "layers"


def _name(made: Mixing, recipe: Recipe) -> str:
    if not _alone(made):
        first = ", each tint stirred into its part A before part B comes to it"
        return _SAYS[recipe.how] + first * recipe.tint_before
    if recipe.tint_before:
        return "The tint is stirred into part A before part B comes to it, off the clock"
    return "One mix a session, tinted once it is mixed"


def _beside(recipe: Recipe, mixes: int | None, *, alone: bool) -> str:
    if alone:
        says = (
            "tinting before part B comes in" if recipe.tint_before else "tinting once it is mixed"
        )
    else:
        says = {
            "together": "one mix that is split",
            "quick-alone": "mixing the quick colours by themselves",
            "separate": "a mix for each colour",
        }[recipe.how] + " with its tint in part A first" * recipe.tint_before
    return f"{says} {'is not shut in time' if mixes is None else f'would take {_mixes(mixes)}'}"


def _mixes(number: int) -> str:
    return f"{number} mix{'es' * (number != 1)}"
