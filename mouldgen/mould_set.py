"""The value that a build ends in: a set of moulds for one job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.check.held import Hold
    from mouldgen.check.piece import PieceMeasure
    from mouldgen.check.prints import PrintCheck
    from mouldgen.finding import Finding
    from mouldgen.layout.beds import BedPlan
    from mouldgen.mix.amounts import Amounts
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.mould.extras import ExtraPart
    from mouldgen.mould.parts import MouldParts, Part
    from mouldgen.pour.attitudes import Tried
    from mouldgen.pour.riser import Riser
    from mouldgen.shop.cut_list import CutList
    from mouldgen.shop.print_time import PrintTime
    from mouldgen.shop.rubber import RubberAmounts


@dataclass(frozen=True, eq=False)
class MouldSet:
    """A set of moulds for one job: everything that files, sheets and pages show.

    answer : the closed forms.
    fingerprint : of the job with all its cards and what castings move, as hexadecimal digits.
    plan, parts : where the features are, and the meshes; None in a conflict.
    measured_least_mm : the least gap measured on the solids [mm], or None.
    tried : the virtual pour, upright and leaning; None in a conflict.
    riser : what sinks after the pour, and the room for it; None in a conflict.
    hold : what holds the insert; None in a conflict.
    amounts : the resin, or None in a conflict.
    piece : what was measured on the finished piece; None in a conflict.
    cuts : what is done to a blank at saw and lathe; None in a conflict.
    prints : what each part is like to print, in the order of `printed`.
    part_times : what printing each part alone takes, in the same order.
    beds : the print beds, the first mould alone on bed 1.
    print_time : what all beds take; None without a bed.
    filament_g : for all moulds and extras, printed solid [g].
    findings : the worst first.
    extras : what is printed beside the moulds; none in a conflict.
    rubber : that moulds are cast in; None where they are printed.
    """

    answer: Answer
    fingerprint: str
    plan: AnyPlan | None
    parts: MouldParts | None
    measured_least_mm: float | None
    tried: Tried | None
    riser: Riser | None
    hold: Hold | None
    amounts: Amounts | None
    piece: PieceMeasure | None
    cuts: CutList | None
    prints: tuple[PrintCheck, ...]
    part_times: tuple[PrintTime, ...]
    beds: tuple[BedPlan, ...]
    print_time: PrintTime | None
    filament_g: float
    findings: tuple[Finding, ...]
    extras: tuple[ExtraPart, ...] = ()
    rubber: RubberAmounts | None = None

    @classmethod
    def in_conflict(
        cls, answer: Answer, *, fingerprint: str, findings: Sequence[Finding]
    ) -> MouldSet:
        """The set of a job that no gap fits: its findings and nothing that is made.

        answer : the closed forms, without sizes.
        fingerprint : of the job and all its cards, as hexadecimal digits.
        findings : the worst first.
        """
        return cls(
            answer,
            fingerprint,
            plan=None,
            parts=None,
            measured_least_mm=None,
            tried=None,
            riser=None,
            hold=None,
            amounts=None,
            piece=None,
            cuts=None,
            prints=(),
            part_times=(),
            beds=(),
            print_time=None,
            filament_g=0.0,
            findings=tuple(findings),
        )

    @property
    def printed(self) -> tuple[Part, ...]:
        """Every part that is printed, those of a mould first; none in a conflict."""
        moulds = () if self.parts is None else self.parts.parts
        return (*moulds, *(extra.part for extra in self.extras))

    @property
    def stopped(self) -> bool:
        """Whether anything must be fixed before the set is of use."""
        return any(finding.severity == "stop" for finding in self.findings)
