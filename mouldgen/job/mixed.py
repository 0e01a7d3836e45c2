"""The density of a job's resin once its two parts are mixed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.physics.mixture import mixed_density

if TYPE_CHECKING:
    from mouldgen.job.resin_numbers import Mixed


def mixed_g_ml(resin: Mixed) -> float:
    """Density of the mixed resin, by the ratio and the two densities of its card [g/ml].

    resin : the table of the job file, or its numbers.
    """
    return mixed_density(
        *resin.ratio,
        density_a=resin.density_a,
        density_b=resin.density_b,
        by_volume=resin.ratio_basis == "volume",
    )
