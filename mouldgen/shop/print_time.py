"""How much filament a set takes and about how long it prints.

The plastic flows at a steady rate and each layer costs a moment on top: that is the whole
model.  The rate of the printer's card stands for an ordinary day of outlines, filling, travel and
slow corners, so the answer is good for planning, not for a promise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from mouldgen.job.shop_tables import Printer
from mouldgen.layout.beds import BedPlan
from mouldgen.solid.mesh import Mesh

FILAMENT_MM = 1.75


@dataclass(frozen=True, eq=False)
class PrintTime:
    """What printing takes.

    volume_mm3 : of plastic, printed solid [mm3].
    layers : from the bed to the top, of all runs together.
    seconds : about [s].
    """

    volume_mm3: float
    layers: int
    seconds: float

    @property
    def filament_m(self) -> float:
        """Of 1.75 mm [m]."""
        return self.volume_mm3 / (0.25 * math.pi * FILAMENT_MM**2) / 1000.0

    def grams(self, density_g_ml: float) -> float:
        """Of a plastic of this density [g].

        density_g_ml : of the plastic [g/ml].
        """
        return self.volume_mm3 / 1000.0 * density_g_ml


def print_time(meshes: Iterable[Mesh], printer: Printer) -> PrintTime:
    """What the parts on one bed take, printed layer by layer together.

    meshes : of the parts, each in its printing pose.
    printer : its layer, flow and what a layer change costs.
    """
    volume, height = 0.0, 0.0
    for mesh in meshes:
        low, high = mesh.bounds
        volume += mesh.volume_mm3
        height = max(height, high[2] - low[2])
    # Half a micrometre of rounding is no layer.
    layers = math.ceil(height / printer.layer - 0.0005)
    return PrintTime(volume, layers, volume / printer.flow + layers * printer.layer_change)


def print_times(
    meshes: dict[str, Mesh], beds: Sequence[BedPlan], printer: Printer
) -> PrintTime | None:
    """What all beds take one after the other; None without a bed.

    meshes : of the parts by name, each in its printing pose.
    beds : with what lies on each.
    printer : its layer, flow and what a layer change costs.
    """
    if not beds:
        return None
    each = [print_time((meshes[item.part] for item in bed.items), printer) for bed in beds]
    return PrintTime(
        sum(time.volume_mm3 for time in each),
        sum(time.layers for time in each),
        sum(time.seconds for time in each),
    )


def basis(printer: Printer) -> str:
    """What the time is reckoned from, in words.

    printer : its flow and what a layer change costs.
    """
    return (
        f"printed solid at {printer.flow:g} mm3/s with {printer.layer_change:g} s for each layer,"
        " which is belief until you time a print"
    )
