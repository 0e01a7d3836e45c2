"""The job as far as it is told: each answer is held against the job file's own rules at once.

So nothing is refused after the last question that could have been asked again.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.desk.answers import Measure, Title, Wanted
from mouldgen.desk.insert_kinds import (
    FACING_MM,
    LYING_MM,
    TURNING_MM,
    Kind,
    Room,
    kind_of,
)
from mouldgen.desk.insert_line import InsertTold
from mouldgen.desk.job_text import Answers, job_text
from mouldgen.desk.mould_kinds import MouldTold, usual_mould
from mouldgen.desk.question import Answer
from mouldgen.errors import InputError

if TYPE_CHECKING:
    from mouldgen.job.model import Insert, Job

LABEL = "the job"
WOOD = "white-ash"
RESIN = "casting-epoxy-slow"


@dataclass(frozen=True, eq=False)
class Draft:
    """Answers so far, the rest as usual.

    answers : told or usual.
    folder : of the job file, which a scan lies beside.
    confined : whether a scan must lie in the folder, or be a shipped one.
    """

    answers: Answers
    folder: Path
    confined: bool = False

    def with_(self, **change: Answer[Any]) -> Draft:
        """The draft with other answers."""
        return replace(self, answers=replace(self.answers, **change))

    def job(self) -> Job:
        """As every command will read it; the shop file is left out.

        Raises InputError with a plain sentence.
        """
        from mouldgen.job.load import merge_job

        data = tomllib.loads(job_text(self.answers))
        return merge_job(data, label=LABEL, folder=self.folder).job

    def held(self, **change: Any) -> Job:
        """The job with answers that are being read.

        Raises InputError with a plain sentence where they do not go with the others.
        """
        from mouldgen.insert import facts_of

        told = {key: Answer(value, known=True) for key, value in change.items()}
        draft = self.with_(**told)
        if "insert" not in change:
            draft = draft._quick(refit="piece" in change)
        try:
            job = draft.job()
            if job.insert.scan is None:
                facts_of(job.insert, density_g_ml=_density(job.insert))
        except InputError as problem:
            raise problem.at("") from None  # the maker has not seen the file yet
        return job

    def nominal_mm(self) -> float:
        """What a calliper reads off the insert [mm]."""
        from mouldgen.job.shapes import reading_of

        across = self.answers.insert.value.across_mm
        return across or reading_of(self.job().insert)[1] or 0.0

    def _quick(self, *, refit: bool) -> Draft:
        """The same with a stick in the place of a scan, which takes long to read.

        refit : take the usual insert for the piece that is told, since its own comes later.
        """
        told = self.answers.insert.value
        if not told.across_mm:
            return self.with_(insert=self.usual_insert()) if refit else self
        sizes = {"diameter": f"{told.across_mm} mm", "length": f"{told.length_mm} mm"}
        return self.with_(
            kind=Answer(kind_of("rod"), known=True),
            mould=Answer(MouldTold("cup"), known=True),
            insert=Answer(InsertTold(sizes), known=True),
        )

    def usual_insert(self) -> Answer[InsertTold]:
        """What is taken for one who does not know."""
        kind = self.answers.kind.value
        return Answer(kind.read(kind.usual(self.room())), known=False)

    def room(self) -> Room:
        """What an insert of unknown size fills: the finished piece and what is turned off it."""
        diameter, length = (measure.mm for measure in self.answers.piece.value)
        lies = self.answers.mould.value.family == "tray"
        return Room(
            across_mm=diameter + 2.0 * (LYING_MM if lies else TURNING_MM),
            length_mm=length + 2.0 * FACING_MM,
            lies=lies,
            density_g_ml=density_of(*self.answers.wood.value),
        )


def usual(title: Answer[Title], wanted: Answer[Wanted], kind: Answer[Kind]) -> Answers:
    """All ten answers where three are given."""
    of = kind.value
    diameter, length, _ = of.finished
    first = Answers(
        title=title,
        wanted=wanted,
        kind=kind,
        mould=Answer(usual_mould(of, pieces=wanted.value.pieces), known=False),
        wood=Answer(usual_wood(of)[:2], known=False),
        piece=Answer((measure_of(diameter), measure_of(length)), known=False),
        insert=Answer(InsertTold({}), known=False),
        readings=Answer((), known=False),
        resin=Answer(usual_resin(), known=False),
        tints=Answer((), known=False),
    )
    return replace(first, insert=Draft(first, Path()).usual_insert())


def usual_wood(of: Kind) -> tuple[str, str, str]:
    """Key, value and a word on what an insert is usually made of."""
    from mouldgen.job.presets import names

    if of.material[0]:
        return of.material
    woods = names("woods")
    name = (WOOD if WOOD in woods else woods[0]).replace("-", " ")
    return "wood", name, f"{density_of('wood', name):.2f} g/ml"


def usual_resin() -> str:
    """The card that is taken for one who does not know."""
    from mouldgen.job.presets import names

    cards = names("resins")
    return RESIN if RESIN in cards else cards[0]


def measure_of(mm: float) -> Measure:
    """A length [mm] as if it had been typed."""
    return Measure(f"{round(mm, 3):g} mm", round(mm, 3))


def density_of(key: str, value: str) -> float:
    """Of what an insert is made of [g/ml].

    key : ``wood`` or ``density``.
    value : as it was typed.
    """
    from mouldgen import units
    from mouldgen.job.woods import wood_density

    return units.density(value) if key == "density" else wood_density(value)


def _density(insert: Insert) -> float:
    if insert.density is not None:
        return insert.density
    from mouldgen.job.woods import wood_density

    return wood_density(insert.wood or "")
