"""What a shop prints beside its moulds: one file an extra.

An extra is a frozen value of facts in closed form, which also makes its solid and declares what
comes of its features.  Adding one means adding its file, its keys in `job.model.Extras` and a
line in `_asked`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from mouldgen.mould.parts import Part, part_of

if TYPE_CHECKING:
    from mouldgen.finding import Finding
    from mouldgen.mould.extras.question import ExtrasQuestion
    from mouldgen.solid.kernel import Solid


class Extra(Protocol):
    """What the file of an extra offers."""

    @property
    def name(self) -> str:
        """Of the part, such as ``drip-tray``."""

    @property
    def count(self) -> int:
        """How many of it the whole job needs."""

    @property
    def genus(self) -> int:
        """Holes through it, the sum of its features."""

    @property
    def turn_over(self) -> bool:
        """Whether its top goes on the print bed."""

    @property
    def sentence(self) -> str:
        """What it is for, with its figures."""

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """What to look at."""

    def figures(self) -> dict[str, float]:
        """Its figures for other programs; keys carry their unit."""

    def solid(self) -> Solid:
        """The solid as it stands when it is used, its lowest point on z = 0."""


@dataclass(frozen=True, eq=False)
class ExtraPart:
    """An extra as it is printed.

    extra : its facts.
    part : its mesh.
    """

    extra: Extra
    part: Part


def make_extras(question: ExtrasQuestion) -> tuple[ExtraPart, ...]:
    """The extras that a job asks for, each as a checked part.

    Raises NoAnswerError where the pot has no room for a mould, KernelError where a solid does not
    come out as its features declare.
    """
    return tuple(
        ExtraPart(
            extra,
            part_of(
                extra.name,
                extra.solid(),
                genus=extra.genus,
                turn_over=extra.turn_over,
                count=extra.count,
            ),
        )
        for extra in _asked(question)
    )


def _asked(question: ExtrasQuestion) -> Iterator[Extra]:
    """Each file is loaded only where its extra is asked for."""
    extras = question.extras
    if extras.catch_moulds:
        from mouldgen.mould.extras.catch_mould import catch_mould

        yield catch_mould(question)
    if extras.drip_tray:
        from mouldgen.mould.extras.drip_tray import drip_tray

        yield drip_tray(question)
    if extras.pot_rack:
        from mouldgen.mould.extras.pot_rack import pot_rack

        yield pot_rack(question)
