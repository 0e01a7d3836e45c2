"""Rates of cure for many places at once, with the slopes that an implicit step needs."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from mouldgen.physics.constants import GAS_CONSTANT
from mouldgen.physics.kinetics import FREEZING_SHARPNESS, OVER_CURE, Kinetics

Array = NDArray[np.float64]

_LEAST = 1e-6  # conversion below which the slope of a^m, endless at 0, is taken here
_MOST = 1.0 - 1e-9


class Reaction(Protocol):
    """What the solver asks of a cure."""

    def rate(self, conversion: Array, temperature: Array) -> Array:
        """Rate of conversion [1/s]."""

    def slopes(self, conversion: Array, temperature: Array) -> tuple[Array, Array]:
        """Change of the rate with the conversion [1/s] and with the temperature [1/(s K)]."""


class Curing:
    """The rates of `Kinetics`, for arrays."""

    def __init__(self, kinetics: Kinetics) -> None:
        """
        kinetics : the cure.
        """
        self._kinetics = kinetics

    def rate(self, conversion: Array, temperature: Array) -> Array:
        """Rate of conversion [1/s].

        conversion : any shape; steps may leave 0 to 1 a little, and count as the end.
        temperature : the same shape [K].
        """
        at = np.minimum(np.maximum(conversion, 0.0), _MOST)  # np.clip takes twice as long
        start, growth = self._constants(temperature)
        rate = (start + growth * at**self._kinetics.growth_order) * (
            1.0 - at
        ) ** self._kinetics.decay_order
        return np.asarray(rate * self._mobility(at, temperature)[0])

    def slopes(self, conversion: Array, temperature: Array) -> tuple[Array, Array]:
        """Change of the rate with the conversion [1/s] and with the temperature [1/(s K)].

        conversion : any shape.
        temperature : the same shape [K].
        """
        k = self._kinetics
        at = np.minimum(np.maximum(conversion, _LEAST), _MOST)
        start, growth = self._constants(temperature)
        grown = at**k.growth_order
        left = (1.0 - at) ** (k.decay_order - 1.0)
        sum_, decay = start + growth * grown, left * (1.0 - at)
        mobility, frozen, ceiling_slope = self._mobility(at, temperature)
        plain = sum_ * decay
        by_conversion = growth * k.growth_order * grown / at * decay - sum_ * k.decay_order * left
        by_temperature = (
            (start * k.start_energy + growth * k.growth_energy * grown)
            * decay
            / (GAS_CONSTANT * temperature**2)
        )
        return (
            np.asarray((by_conversion - plain * frozen) * mobility),
            np.asarray((by_temperature + plain * frozen * ceiling_slope) * mobility),
        )

    def _constants(self, temperature: Array) -> tuple[Array, Array]:
        k = self._kinetics
        inverse = -1.0 / (GAS_CONSTANT * temperature)
        start = k.start_factor * np.exp(k.start_energy * inverse)
        if k.start_energy == k.growth_energy:
            return start, start * (k.growth_factor / k.start_factor)
        return start, k.growth_factor * np.exp(k.growth_energy * inverse)

    def _mobility(self, conversion: Array, temperature: Array) -> tuple[Array, Array, Array]:
        """The factor of the coming glass, its slope over itself, and that of the ceiling."""
        glass = self._kinetics.glass
        if glass is None:
            none = np.zeros_like(conversion)
            return none + 1.0, none, none
        span = glass.reacted - glass.unreacted
        share = (temperature + OVER_CURE - glass.unreacted) / span
        bottom = glass.shape + (1.0 - glass.shape) * share
        over = np.exp(np.minimum(FREEZING_SHARPNESS * (conversion - share / bottom), 700.0))
        factor = 1.0 / (1.0 + over)
        return factor, FREEZING_SHARPNESS * over * factor, glass.shape / (bottom**2 * span)
