"""A job half told, for the questions of ``mouldgen new`` that depend on what came before."""

from __future__ import annotations

from pathlib import Path

from mouldgen.desk.answers import Title, Wanted
from mouldgen.desk.draft import Draft, usual
from mouldgen.desk.insert_kinds import kind_of
from mouldgen.desk.mould_kinds import read_mould, suited
from mouldgen.desk.question import Answer


def draft_of(kind: str, *, mould: str = "", folder: Path = Path()) -> Draft:
    """Four pieces with an insert of a kind; all else as it is usual.

    kind : its name in the list of ``mouldgen new``.
    mould : its family as it is typed; the usual one where empty.
    folder : of the job file.
    """
    of = kind_of(kind)
    title = Answer(Title("a-job", "a job"), known=True)
    draft = Draft(usual(title, Answer(Wanted(4), known=True), Answer(of, known=True)), folder)
    if not mould:
        return draft
    names = [name for name, _ in suited(of)]
    told = read_mould(mould, names=names, kind=of, pieces=4)
    return draft.with_(mould=Answer(told, known=True))
