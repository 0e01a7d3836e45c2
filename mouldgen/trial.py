"""A trial: one mould or more for each of several gaps, to be cast alike and cut open.

Each rung of the ladder is a set made with its own gap and lettered with it, A the narrowest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mouldgen.build import build_moulds
from mouldgen.errors import JobError, MouldgenError
from mouldgen.finding import NOTHING_LEARNED, Bound, Finding, Learned
from mouldgen.fingerprint import fingerprint_of
from mouldgen.job.model import Job
from mouldgen.layout.beds import BedPlan, footprints_of, lay_out
from mouldgen.memo import Memo
from mouldgen.mould.parts import Part
from mouldgen.mould_set import MouldSet

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
# What leaves air in the casting where it falls short; the others cost resin, work or the fit.
VOID_RULES = frozenset({"air", "push", "feed", "run-down", "sequence"})
VOID_FINDINGS = ("pour.pocket.", "pour.bridged")


@dataclass(frozen=True, eq=False)
class Rung:
    """One gap of a trial.

    letter : on its parts.
    gap_mm : all round [mm].
    found : its set.
    """

    letter: str
    gap_mm: float
    found: MouldSet

    @property
    def bounds(self) -> tuple[Bound, ...]:
        """What every rule asks for."""
        return self.found.answer.gap.bounds

    @property
    def broken(self) -> tuple[Bound, ...]:
        """The rules that this gap does not meet, in the order of the rules."""
        rules = {f.rule for f in self.found.findings if f.id == f"gap.{f.rule}"}
        return tuple(bound for bound in self.bounds if bound.rule in rules)

    @property
    def voids(self) -> tuple[Finding, ...]:
        """Why voids are to be expected; empty where nothing speaks for them."""
        return tuple(
            finding
            for finding in self.found.findings
            if finding.severity != "note"
            and (
                (finding.rule in VOID_RULES and finding.id == f"gap.{finding.rule}")
                or finding.id.startswith(VOID_FINDINGS)
            )
        )

    @property
    def cost(self) -> float | None:
        """What the resin of all moulds costs, loss included, in its price's money; or None."""
        price, resin = self.found.answer.job.resin.price, self.found.amounts
        if price is None or resin is None:
            return None
        return price[0] * (resin.all.mixed_ml if price[1] == "ml" else resin.all.exact_g)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Its parts by the names that they have in the trial, one of each."""
        return tuple(
            replace(part, name=f"{self.letter}-{part.name}", count=1) for part in self.found.printed
        )


@dataclass(frozen=True, eq=False)
class Trial:
    """A ladder of gaps for one job.

    job : without its extras.
    rungs : the narrowest first.
    made : those that are printed: without the ones that must be fixed, unless asked for.
    beds : with the moulds of those.
    fingerprint : of the job as it was given; every rung has its own.
    each : moulds of every gap.
    """

    job: Job
    rungs: tuple[Rung, ...]
    made: tuple[Rung, ...]
    beds: tuple[BedPlan, ...]
    fingerprint: str
    each: int = 1

    @property
    def kept_out(self) -> tuple[Rung, ...]:
        """The rungs that must be fixed first and are not printed."""
        return tuple(rung for rung in self.rungs if rung not in self.made)

    @property
    def stopped(self) -> bool:
        """Whether any rung must be fixed."""
        return any(rung.found.stopped for rung in self.rungs)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Everything that is printed, once each."""
        return tuple(part for rung in self.made for part in rung.parts)

    @property
    def resin_g(self) -> float:
        """Resin to weigh for one casting in every mould, loss included [g]."""
        one = sum(rung.found.amounts.one.total_g for rung in self.made if rung.found.amounts)
        return self.each * one


def run_trial(
    job: Job,
    gaps_mm: Sequence[float],
    *,
    each: int = 1,
    anyway: bool = False,
    learned: Learned = NOTHING_LEARNED,
    memo: Memo | None = None,
) -> Trial:
    """Moulds for each gap, and the fewest beds that hold them all.

    job : presets and shop file merged in; its own gap and its extras do not count.
    gaps_mm : in any order, no two of which would be lettered alike [mm].
    each : moulds of every gap, 1 or more.
    anyway : print the rungs that must be fixed too.
    learned, memo : as `build_moulds` takes them.

    Raises JobError for gaps that make no ladder, and what `build_moulds` raises, with the rung.
    """
    ladder = sorted(gaps_mm)
    _require_ladder(ladder)
    bare = job.model_copy(update={"extras": None})
    rungs = tuple(
        _rung(bare, letter, gap, learned=learned, memo=memo)
        for letter, gap in zip(LETTERS, ladder, strict=False)
    )
    made = tuple(rung for rung in rungs if anyway or not rung.found.stopped)
    # What is too large for the printer has no bed of its own set either.
    lying = [replace(part, count=each) for rung in made if rung.found.beds for part in rung.parts]
    beds = lay_out(footprints_of(lying, moulds=1), printer=job.printer)
    return Trial(bare, rungs, made, beds, fingerprint_of(job, learned), each)


def _require_ladder(ladder: Sequence[float]) -> None:
    if not 1 <= len(ladder) <= len(LETTERS):
        raise JobError(
            f"a trial of {len(ladder)} gaps has no letter for each",
            allowed=f"1 to {len(LETTERS)} gaps, A to Z",
        )
    lettered = [f"{gap:.2f}" for gap in ladder]
    for text in lettered:
        if lettered.count(text) > 1:
            raise JobError(
                f"two gaps would both be lettered {text} mm",
                allowed="gaps that differ by 0.01 mm or more",
            )
    if ladder[0] <= 0.0:
        raise JobError(f"a gap of {ladder[0]:g} mm is none", allowed="gaps above 0 mm")


def _rung(job: Job, letter: str, gap_mm: float, *, learned: Learned, memo: Memo | None) -> Rung:
    mould = job.mould.model_copy(update={"gap": gap_mm})
    try:
        found = build_moulds(
            job.model_copy(update={"mould": mould}), learned=learned, memo=memo, letter=letter
        )
    except MouldgenError as error:
        raise error.at(f"gap {gap_mm:.2f} mm: {error.where}".removesuffix(": ")) from None
    return Rung(letter, gap_mm, found)
