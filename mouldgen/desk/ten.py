"""The ten questions in their order: one flow, whoever asks them and however."""

from __future__ import annotations

from collections.abc import Generator
from pathlib import Path
from typing import Any

from mouldgen.desk import questions
from mouldgen.desk.calliper import READINGS
from mouldgen.desk.draft import Draft, usual
from mouldgen.desk.insert_kinds import Kind
from mouldgen.desk.job_text import Answers, job_text
from mouldgen.desk.question import Answer, Question

MOST = 10  # questions
OPENING = (
    "At most ten questions. Write lengths as you do: 22 mm, 7/8 in. Enter alone, ? or don't know"
    " takes what is usual."
)
Asking = Generator[Question[Any], Answer[Any], Answers]


def ten_questions(folder: Path, *, named: bool = False, confined: bool = False) -> Asking:
    """Each question in its turn; what is sent back is its answer, and all of them come last.

    folder : where the job file will lie.
    named : whether the file's name is given, so that the job's may be that of another file.
    confined : whether a scan must lie in the folder.

    Raises InputError where answers do not go together, and for a preset that is broken.
    """
    title = yield questions.title(None if named else folder)
    wanted = yield questions.wanted()
    kind = yield questions.kind()
    draft = Draft(usual(title, wanted, kind), folder=folder, confined=confined)
    draft.held(piece=draft.answers.piece.value)  # a preset that is broken is told here
    draft = draft.with_(mould=(yield questions.mould(draft)))
    draft = draft.with_(wood=(yield questions.wood(kind.value)))
    if kind.value.shape == "scan":  # how large the piece may be is read off it
        draft = draft.with_(insert=questions.sized_scan((yield questions.scan(draft)), draft))
        draft = draft.with_(piece=(yield questions.piece(draft)))
    else:
        draft = draft.with_(piece=(yield questions.piece(draft)))
        draft = draft.with_(insert=(yield questions.insert(draft)))
    readings = questions.readings(draft)
    if readings is not None:
        draft = draft.with_(readings=(yield readings))
    draft = draft.with_(resin=(yield questions.resin()))
    return draft.with_(tints=(yield questions.colours())).answers


def how_many(kind: Kind | None) -> int:
    """Questions in all.

    kind : of the insert; None while it is not known.
    """
    return MOST if kind is None or kind.name in READINGS else MOST - 1


def text_for(told: Answers, path: Path) -> str:
    """The job file that the answers make, without what the shop file says.

    path : where it will lie.

    Raises JobError for a shop file that cannot be read.
    """
    return job_text(told, shop_has=shop_tables(path))


def shop_tables(path: Path) -> tuple[str, ...]:
    """The tables that the shop file gives which goes with a job file.

    path : of the job file, there or not.
    """
    from mouldgen.job.find import find_shop
    from mouldgen.job.toml import read_toml

    shop = find_shop(path)
    return () if shop is None else tuple(read_toml(shop, label=shop.name))
