"""The ten questions for one who keeps the answers: all of them are given anew each time.

Nothing is kept between two calls, so that a page may be closed, reloaded or gone back in.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mouldgen.desk.job_text import Answers
from mouldgen.desk.question import Question, answered
from mouldgen.desk.ten import OPENING, how_many, ten_questions, text_for
from mouldgen.errors import InputError, UsageError
from mouldgen.job.load import unwritten_job


@dataclass(frozen=True, eq=False)
class Asked:
    """The question that is next.

    id : its name among the others.
    words : the question and an example.
    usual : what is taken for an answer that is empty, a clause.
    choices : to take one of, each with its meaning, which may be empty; its number will do too.
    hint : where to measure, drawn in lines of text; empty for most questions.
    told : what is said before it, a sentence each.
    at, of : its place among how many.
    """

    id: str
    words: str
    usual: str
    choices: tuple[tuple[str, str], ...]
    hint: str
    told: tuple[str, ...]
    at: int
    of: int


@dataclass(frozen=True, eq=False)
class Finished:
    """What all answers make.

    name : of the job.
    text : of its file.
    told : what is said of the last answer, a sentence each.
    """

    name: str
    text: str
    told: tuple[str, ...]


def next_question(answers: Sequence[str], *, folder: Path) -> Asked | Finished:
    """What follows from the answers so far.

    answers : as typed, in the order of the questions; empty for what is usual.
    folder : where the job file will lie; a scan must lie in it or be a shipped one.

    Raises what the question at fault raises; for one before the last its place is in front.
    """
    asking = ten_questions(folder, confined=True)
    question, of, told = next(asking), how_many(None), OPENING
    for number, typed in enumerate(answers, 1):
        try:
            answer = answered(question, _line(typed))
            of = how_many(answer.value) if question.id == "kind" else of
            told = answer.told
            question = asking.send(answer)
        except StopIteration as done:
            _require_no_more(answers[number:])
            return _finished(done.value, folder=folder, told=told)
        except InputError as problem:
            last = number == len(answers)
            raise (problem if last else problem.at(f"answer {number}")) from None
    return _asked(question, told=told, at=len(answers) + 1, of=of)


def _asked(question: Question[Any], *, told: str, at: int, of: int) -> Asked:
    return Asked(
        id=question.id,
        words=question.text,
        usual=question.taken,
        choices=question.choices,
        hint=question.drawing,
        told=_lines(told),
        at=at,
        of=of,
    )


def _finished(answers: Answers, *, folder: Path, told: str) -> Finished:
    """The file, read as every command will read it once it is written."""
    name = answers.title.value.name
    text = text_for(answers, folder / f"{name}.toml")
    unwritten_job(tomllib.loads(text), label=name, folder=folder)
    return Finished(name=name, text=text, told=_lines(told))


def _lines(told: str) -> tuple[str, ...]:
    return (told,) if told else ()


def _line(typed: str) -> str:
    """An answer as a terminal would take it: one line of text, without blanks at its ends."""
    text = typed.strip()
    if "\n" in text or "\r" in text:
        raise UsageError("an answer is one line", allowed="an answer without line breaks")
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise UsageError(
            "what was typed is not UTF-8", allowed="text without half characters"
        ) from None
    return text


def _require_no_more(more: Sequence[str]) -> None:
    if more:
        told = "is 1 answer" if len(more) == 1 else f"are {len(more)} answers"
        raise UsageError(
            f"there {told} more than there are questions", try_="Start again from the first."
        )
