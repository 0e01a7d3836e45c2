"""Is the insert dry enough for its resin?

Moisture is a share of the oven-dry mass.  Water makes urethane foam and takes part of its
hardener; epoxy forgives more.  Common practice, and sources conflict from 0 to 13 percent, so
the limit is the resin card's, never one of this file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.physics.wood import CELL_WALL_GRAVITY

if TYPE_CHECKING:
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.material_tables import Resin
    from mouldgen.job.model import Insert

_TO_CONSTANT_WEIGHT = (
    "dry it in the oven to constant weight: weigh it until it no longer loses, and let it cool in a"
    " sealed bag, in which no water may condense"
)
_METER = "a pocket meter that stops at 6 % cannot tell (common practice, no source)"


def dry_enough(insert: Insert, resin: Resin, *, facts: InsertFacts) -> tuple[Finding, ...]:
    """What a wet insert does to this resin, or what is not known of it.

    insert : the table of the job file, with the moisture as its maker measured it.
    resin : with the most moisture that its card allows.
    facts : of the same insert; what is denser than wood's own cell wall is no wood, and nothing
        is asked about it.

    An insert at constant weight counts as dry, whatever a meter says.
    """
    if insert.constant_weight:
        return ()
    if insert.moisture is None:
        return _not_told(resin, facts)
    if resin.most_moisture is None:
        return (
            _note(
                f"The insert's moisture is {_percent(insert.moisture)}, and the resin's card does"
                " not say how much it stands: read its data sheet and give [resin] most_moisture.",
                place="[resin] most_moisture",
            ),
        )
    if insert.moisture <= resin.most_moisture:
        return ()
    return (_wet(insert.moisture, resin.most_moisture, urethane=resin.kind == "urethane"),)


def _not_told(resin: Resin, facts: InsertFacts) -> tuple[Finding, ...]:
    if resin.kind != "urethane" or facts.density_g_ml > CELL_WALL_GRAVITY:
        return ()
    return (
        _note(
            f"Water in the insert makes urethane foam: {_TO_CONSTANT_WEIGHT}; {_METER}. Then write"
            " [insert] constant_weight = true.",
            place="[insert] constant_weight",
        ),
    )


def _wet(moisture: float, most: float, *, urethane: bool) -> Finding:
    foams = "makes urethane foam" if urethane else "can leave bubbles and cloudy epoxy at the wood"
    meter = f"; {_METER}" if most < 0.06 else ""
    return Finding(
        id="insert.wet",
        rule="dry",
        severity="stop" if urethane else "warn",
        message=(
            f"The insert's moisture is {_percent(moisture)} and the resin's card allows"
            f" {_percent(most)}: water {foams}. {_TO_CONSTANT_WEIGHT.capitalize()}{meter}. Then"
            " measure its size again, and write [insert] constant_weight = true."
        ),
        measured=moisture,
        limit=most,
        place="[insert] moisture",
    )


def _note(message: str, *, place: str) -> Finding:
    return Finding(id="insert.dryness", rule="dry", severity="note", message=message, place=place)


def _percent(share: float) -> str:
    return f"{100.0 * share:.3g} %"
