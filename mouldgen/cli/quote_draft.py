"""A job for a quote that nobody has written yet: from six questions, or from options alone."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.ask import Asker
from mouldgen.cli.new import must_be_new, write_job
from mouldgen.cli.say import say_wrapped
from mouldgen.desk import questions
from mouldgen.desk.answers import Title, Wanted, read_size, read_title, read_wanted
from mouldgen.desk.draft import Draft, usual
from mouldgen.desk.insert_kinds import Kind, kind_of
from mouldgen.desk.question import Answer, Question
from mouldgen.desk.ten import text_for
from mouldgen.errors import UsageError

if TYPE_CHECKING:
    from mouldgen.job.load import LoadedJob

AGAIN = "mouldgen quote"
_YES = ("y", "yes", "theirs", "own")
_NO = ("n", "no", "mine")
_NONE = ("no", "none", "n")


@dataclass(frozen=True, eq=False)
class QuoteDraft:
    """What was told of an order, the rest as usual.

    draft : as `mouldgen new` would have it.
    customers_wood : whether the wood is the customer's own.
    thread : in every piece, or empty.
    """

    draft: Draft
    customers_wood: Answer[bool]
    thread: Answer[str]

    @property
    def text(self) -> str:
        """The job file."""
        told = self.draft.answers
        path = self.draft.folder / f"{told.title.value.name}.toml"
        text = text_for(told, path).replace("`mouldgen new`", "`mouldgen quote`", 1)
        if self.customers_wood.value:
            text = _with(text, "order", "customers_wood = true          # no spares are possible")
        if self.thread.value:
            depth = f'hole_depth = "{thread_depth_mm(self.thread.value):g} mm"'
            text = _with(text, "piece", f'thread = "{self.thread.value}"\n{depth}')
        return text

    def load(self, sets: tuple[str, ...] = ()) -> LoadedJob:
        """The job as every command would read it, the shop file of the folder merged in.

        sets : settings such as ``shop.wage=28``.

        Raises InputError for what does not go together.
        """
        from mouldgen.job.load import unwritten_job

        answers = self.draft.answers
        return unwritten_job(
            tomllib.loads(self.text),
            label=answers.title.value.name,
            folder=self.draft.folder,
            sets=sets,
        )

    def taken(self, *, sets: tuple[str, ...] = ()) -> Iterator[str]:
        """What was taken because nobody told it, each a clause.

        sets : settings, which tell something too.
        """
        told = {setting.partition("=")[0].strip() for setting in sets}
        tables = {key.partition(".")[0] for key in told}
        for keys, clause in self._usual():
            if not told.intersection(keys) and not tables.intersection(keys):
                yield clause

    def _usual(self) -> Iterator[tuple[tuple[str, ...], str]]:
        """Keys or tables that would tell something, and what is taken without them."""
        told = self.draft.answers
        if not told.wanted.known:
            yield ("order.pieces",), f"{told.wanted.value.pieces} piece"
        if not told.piece.known:
            size = " x ".join(each.text for each in told.piece.value)
            yield ("piece.diameter", "piece.length"), f"a finished piece of {size}"
        kind = told.kind.value
        if not told.kind.known:
            yield ("insert.shape",), f"a {kind.name} as the insert"
        sizes = " x ".join(each.text for each in told.insert.value.lengths)
        yield ("insert.diameter", "insert.length"), f"its size {sizes}" if sizes else "its size"
        yield ("mould",), f"a {told.mould.value.words} mould with the gap that the rules ask for"
        if not told.wood.known:
            yield ("insert.wood", "insert.density"), str(told.wood.value[1])
        yield ("resin",), f"the resin card {told.resin.value}"
        yield ("colour",), "clear resin"
        yield ("pot",), "no pressure pot"
        if self.thread.value:
            depth = f"{thread_depth_mm(self.thread.value):g} mm"
            yield ("piece.hole_depth",), f"a thread {depth} deep"
        else:
            yield ("piece.thread",), "no thread"
        if not self.customers_wood.known:
            yield ("order.customers_wood",), "wood that can be had again"


def thread_depth_mm(name: str) -> float:
    """What a thread is cut deep where nobody says: its least depth, up to a whole mm [mm].

    name : of the thread.

    Raises InputError for a thread that is not there.
    """
    from mouldgen.job.lathe import lathe_habits
    from mouldgen.job.threads import thread_of

    return float(math.ceil(lathe_habits().engaged * thread_of(name).major_mm))


def asked_draft(*, out: Path | None) -> QuoteDraft:
    """Ask six questions; Enter takes what is usual.

    out : the job file that will be written, or None.

    Raises UsageError where the answers end.
    """
    say_wrapped(
        "Six questions for a quote. Write lengths as you do: 26 mm, 1 1/4 in. Enter alone takes"
        " what is usual."
    )
    asker = Asker(again=AGAIN)
    wanted = asker.ask(questions.wanted())
    kind = asker.ask(_kind())
    draft = _draft(wanted, kind, out=out)
    piece = asker.ask(questions.piece(draft))
    wood = asker.ask(questions.wood(kind.value))
    draft = _sized(draft.with_(piece=piece, wood=wood))
    own = asker.ask(_customers())
    thread = asker.ask(_thread(draft))
    return QuoteDraft(draft, own, thread)


def told_draft(
    *, piece: str | None, count: str | None, due: str | None, out: Path | None
) -> QuoteDraft:
    """A job from options alone, without a question.

    piece : size of the finished piece, such as ``26 mm x 60 mm``.
    count : how many good ones.
    due : by which day.
    out : the job file that will be written, or None.

    Raises InputError for what cannot be read or does not go together.
    """
    text = " by ".join(each for each in (count or "1", due) if each)
    wanted = Answer(read_wanted(text), known=count is not None or due is not None)
    draft = _draft(wanted, Answer(kind_of("rod"), known=False), out=out)
    if piece is not None:
        size = read_size(piece, sides=("diameter", "length"))
        draft.held(piece=size)
        draft = draft.with_(piece=Answer(size, known=True))
    return QuoteDraft(_sized(draft), Answer(False, known=False), Answer("", known=False))


def write(draft: QuoteDraft, path: Path) -> None:
    """Write the job file.  Raises UsageError where one is there, SurroundingsError else.

    path : of the file, ending in .toml.
    """
    must_be_new(path)
    write_job(path, draft.text)


def _draft(wanted: Answer[Wanted], kind: Answer[Kind], *, out: Path | None) -> Draft:
    title = Title("quote", "a quote") if out is None else read_title(out.stem)
    answers = usual(Answer(title, known=out is not None), wanted, kind)
    draft = Draft(answers, folder=out.parent if out else Path())
    draft.held(piece=draft.answers.piece.value)  # a preset that is broken is told here
    return draft


def _sized(draft: Draft) -> Draft:
    """With the usual insert for its piece."""
    return draft.with_(insert=draft.usual_insert())


def _kind() -> Question[Kind]:
    usual_one = questions.kind()

    def read(text: str) -> Kind:
        found = usual_one.read(text)
        if found.shape == "scan":
            raise UsageError(
                "a scan is measured first",
                try_="Write its job with mouldgen new, then quote that; or take the nearest shape.",
            )
        return found

    return replace(usual_one, read=read)


def _customers() -> Question[bool]:
    def read(text: str) -> bool:
        word = text.casefold()
        if word in (*_YES, *_NO):
            return word in _YES
        raise UsageError(f'"{text}" is neither yes nor no', allowed="yes or no")

    return Question(
        "Is it the customer's own wood, which cannot be had again? yes or no.",
        read,
        False,
        "no: wood for spares can be had",
        id="customers-wood",
    )


def _thread(draft: Draft) -> Question[str]:
    from mouldgen.job.threads import thread_names

    known = ", ".join(thread_names())

    def read(text: str) -> str:
        if text.casefold() in _NONE:
            return ""
        own = Answer(False, known=False)
        QuoteDraft(draft, own, Answer(text, known=True)).load()
        return text

    return Question(
        f"Does a piece take hardware, and on which thread? Such as M6; there are {known}.",
        read,
        "",
        "none, no hardware",
        id="thread",
    )


def _with(text: str, table: str, line: str) -> str:
    head = f"\n[{table}]\n"
    return text.replace(head, f"{head}{line}\n", 1)
