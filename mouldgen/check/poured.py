"""What the virtual pour found, in a maker's words."""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.gap.shut_in import OnTop
from mouldgen.pour.attitudes import WORTH_IT_ML, Tried
from mouldgen.pour.pour import Pocket
from mouldgen.pour.pressure import share_left
from mouldgen.pour.riser import Riser


def poured(
    tried: Tried, riser: Riser, *, pressure_kpa: float, over: OnTop | None = None
) -> tuple[Finding, ...]:
    """Findings on shut-in air, on how to hold the mould, and on a second pour.

    tried : the pour upright and leaning.
    riser : what sinks afterwards, and the room above the fill line for it.
    pressure_kpa : gauge, 0 without a pot [kPa].
    over : air below resin that is poured on top of the insert; None where none is.
    """
    found = [_pocket(pocket, pressure_kpa) for pocket in tried.pours[0].pockets if _counts(pocket)]
    if over is not None and over.most_ml >= WORTH_IT_ML:
        found.append(_bridged(over, pressure_kpa))
    if tried.best != 0:
        found.append(
            Finding(
                id="pour.lean",
                rule="pour",
                severity="warn",
                message=tried.reason,
                measured=tried.pours[0].shut_in_ml,
                limit=tried.proposed.shut_in_ml,
                place="mould",
            )
        )
    if not riser.fits:
        found.append(_second(riser))
    return tuple(found)


def _counts(pocket: Pocket) -> bool:
    return pocket.volume_ml >= WORTH_IT_ML


def _pocket(pocket: Pocket, pressure_kpa: float) -> Finding:
    x, y, z = pocket.place_mm
    left = pocket.under(pressure_kpa).volume_ml
    after = f" The pressure leaves {left:.2f} ml of it." if pressure_kpa > 0.0 else ""
    return Finding(
        id=f"pour.pocket.{pocket.number}",
        rule="pour",
        severity="warn",
        message=(
            f"{pocket.volume_ml:.2f} ml of air stays shut in, {pocket.height_mm:.1f} mm high, at x"
            f" {x:.0f}, y {y:.0f}, z {z:.0f} mm.{after}"
        ),
        measured=pocket.volume_ml,
        limit=0.0,
        place=f"x {x:.1f}, y {y:.1f}, z {z:.1f} mm",
    )


def _bridged(over: OnTop, pressure_kpa: float) -> Finding:
    """Air below the insert's top that resin on top shuts in: a pocket like any other."""
    least = ""
    if over.least_ml < over.most_ml:
        some = over.least_ml >= WORTH_IT_ML
        least = f"; {f'{over.least_ml:.2f} ml' if some else 'none'} should the bridge break up"
    left = share_left(pressure_kpa) * over.most_ml
    after = f" The pressure leaves {left:.2f} ml of it." if pressure_kpa > 0.0 else ""
    return Finding(
        id="pour.bridged",
        rule="pour",
        severity="warn",
        message=(
            f"Resin poured on top of the insert can shut in up to {over.most_ml:.2f} ml of air in"
            f" the gap below{least}.{after} Pour the resin in first and push the insert into it,"
            " feed it from the bottom, or take a wider gap."
        ),
        measured=over.most_ml,
        limit=0.0,
        place="gap",
    )


def _second(riser: Riser) -> Finding:
    return Finding(
        id="pour.second",
        rule="pour",
        severity="warn",
        message=(
            f"One pour is not enough: {riser.needed_ml:.1f} ml sink away and"
            f" {riser.room_ml:.1f} ml stand above the fill line. Pour {riser.second_ml:.1f} ml more"
            " into each mould once the data sheet's recoat window opens: vent slowly, fill up,"
            " close again."
        ),
        measured=riser.needed_ml,
        limit=riser.room_ml,
        place="mould",
    )
