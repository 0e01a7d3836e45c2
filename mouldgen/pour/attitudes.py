"""The same pour upright and leaning either way, and which of them lets the air out best."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.pour.pour import Pour, pour
from mouldgen.pour.slices import slice_air
from mouldgen.pour.space import UPRIGHT, Attitude, Space

TILT_DEG = 15.0
# Our own choice: nobody leans a mould for less air than a drop of resin.
WORTH_IT_ML = 0.05


@dataclass(frozen=True, eq=False)
class Tried:
    """A pour of one amount in several attitudes.

    pours : upright first, then leaning.
    best : index of the one proposed.
    reason : why, in a sentence.
    """

    pours: tuple[Pour, ...]
    best: int
    reason: str

    @property
    def proposed(self) -> Pour:
        """The pour in the proposed attitude."""
        return self.pours[self.best]


def attitudes(
    space: Space,
    *,
    level_mm: float,
    tilt_deg: float = TILT_DEG,
    azimuth_deg: float = 0.0,
    layer_mm: float = 0.5,
    row_mm: float = 0.5,
) -> Tried:
    """Pour upright to a level, and the same amount leaning either way.

    space : what is poured into.
    level_mm : height over the mould's floor that the resin stands at when upright [mm].
    tilt_deg : how far it leans [degrees].
    azimuth_deg : towards which side, and then to the opposite one [degrees].
    layer_mm, row_mm : height of a layer and width of a row [mm].

    Upright is proposed unless leaning lets out at least `WORTH_IT_ML` more and nothing runs
    over; and where no air is open at all.  Raises InputError as `slice_air` does.
    """
    leans = (
        UPRIGHT,
        Attitude(tilt_deg, azimuth_deg),
        Attitude(tilt_deg, azimuth_deg + 180.0),
    )
    wholes = [
        pour(slice_air(space, layer_mm=layer_mm, row_mm=row_mm, attitude=lean)) for lean in leans
    ]
    upright = wholes[0].stopped_at(level_mm)
    amount = upright.volume_to(level_mm)
    pours = (upright, *(_with(whole, amount) for whole in wholes[1:]))
    return Tried(pours, *_choice(pours))


def _with(whole: Pour, amount_ml: float) -> Pour:
    """The amount poured; the whole space filled, and run over, where it does not go in."""
    if amount_ml > whole.filled_ml[-1]:
        return whole
    return whole.stopped_at(whole.level_for(amount_ml))


def _choice(pours: tuple[Pour, ...]) -> tuple[int, str]:
    upright = pours[0].shut_in_ml
    if math.isinf(pours[0].spill_mm):  # nothing goes in, so what leaning keeps in is no less
        return 0, "Fill it before the lid goes on: the lid has no hole that air could leave by."
    dry = [k for k in range(1, len(pours)) if not pours[k].runs_over]
    leaning = min(dry, key=lambda k: pours[k].shut_in_ml, default=None)
    if leaning is None:
        return 0, f"Pour it upright: leaning that far, resin runs out. {_stays(upright)}."
    left = pours[leaning].shut_in_ml
    if upright - left < WORTH_IT_ML:
        why = f"leaning would leave {_ml(left)}" if max(upright, left) >= WORTH_IT_ML else ""
        return 0, f"Pour it upright: {_stays(upright).lower()}{why and ', '}{why}."
    lean = pours[leaning].air.attitude
    return leaning, (
        f"Lean it by {lean.tilt_deg:g} degrees towards {lean.azimuth_deg % 360.0:g} degrees from"
        f" its x axis: {_ml(left)} of air stays shut in instead of {_ml(upright)} upright."
    )


def _stays(volume_ml: float) -> str:
    if volume_ml < WORTH_IT_ML:
        return "No air to speak of stays shut in"
    return f"Air of {_ml(volume_ml)} stays shut in"


def _ml(volume_ml: float) -> str:
    return f"{volume_ml:.1f} ml" if volume_ml >= 1.0 else f"{volume_ml:.2f} ml"
