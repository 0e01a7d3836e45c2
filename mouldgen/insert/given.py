"""What a maker knows of an insert's volume better than its drawn shape does."""

from __future__ import annotations

from dataclasses import replace

from mouldgen.errors import JobError
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Insert

MOST_APART = 0.1  # a weight and a displaced volume that differ by more are not of one insert


def given_volume_ml(insert: Insert, *, density_g_ml: float, sealed_ml: float) -> float | None:
    """Displaced volume as measured, else from the weight; None where neither is given [ml].

    density_g_ml : of the insert [g/ml].
    sealed_ml : hollow that nothing fills [ml].

    Raises JobError where the two are given and differ by more than a tenth.
    """
    if insert.weight is None:
        return insert.displaced
    by_weight = insert.weight / density_g_ml + sealed_ml
    if insert.displaced is None:
        return by_weight
    told = insert.density is not None or insert.wood is not None
    if told and abs(by_weight - insert.displaced) > MOST_APART * insert.displaced:
        raise JobError(
            f"{insert.weight:g} g at {density_g_ml:.3g} g/ml are {by_weight:.3g} ml, and"
            f" {insert.displaced:g} ml are displaced: more than a tenth apart",
            where="[insert] displaced",
            allowed="a weight, a density and a displaced volume of one insert",
            try_="Leave the one out that you trust least.",
        )
    return insert.displaced


def with_given_volume(facts: InsertFacts, insert: Insert) -> InsertFacts:
    """The facts with the volume that the maker knows; the shape stays for clearance and flow.

    Every section keeps its share of the volume.  Where weight and volume are both given, the
    density is the one over the other.

    Raises JobError where the two contradict each other, or the volume does not go into the round
    that encloses the insert.
    """
    volume = given_volume_ml(insert, density_g_ml=facts.density_g_ml, sealed_ml=facts.sealed_ml)
    if volume is None:
        return facts
    room = facts.room_ml
    where = "[insert] weight" if insert.displaced is None else "[insert] displaced"
    if not facts.sealed_ml < volume <= room * (1.0 + 1e-9):
        raise JobError(
            f"a volume of {volume:.4g} ml does not go into the insert as drawn",
            where=where,
            allowed=f"more than {facts.sealed_ml:.3g} ml, at most {room:.4g} ml: the round that"
            " encloses it",
            try_="Look at its sizes, its density and the unit.",
        )
    share = volume / facts.volume_ml
    density = facts.density_g_ml
    if insert.weight is not None and insert.displaced is not None:
        density = insert.weight / (volume - facts.sealed_ml)
    return replace(
        facts,
        section_mm2=1000.0 * volume / facts.length_mm,
        density_g_ml=density,
        slices=tuple(replace(one, section_mm2=one.section_mm2 * share) for one in facts.pieces),
    )
