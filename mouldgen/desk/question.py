"""A question, the answer to it, and how what was typed becomes one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

T = TypeVar("T")
DONT_KNOW = frozenset({"", "?", "don't know", "dont know", "don’t know", "no idea", "unknown"})


@dataclass(frozen=True, eq=False)
class Question(Generic[T]):
    """One question.

    id : its name among the others.
    text : the question and an example.
    read : an answer from what was typed; raises InputError with a plain sentence.
    default : the answer for one who does not know.
    taken : what that answer is and why, a clause.
    choices : to take one of, each with its meaning, which may be empty; its number will do too.
    drawing : shows where to measure, line by line.
    unknown : more words that say "don't know", such as ``later``.
    found : what is told of an answer that was given, a sentence; empty for nothing.
    """

    id: str = field(kw_only=True)
    text: str
    read: Callable[[str], T]
    default: T
    taken: str
    choices: tuple[tuple[str, str], ...] = ()
    drawing: str = ""
    unknown: tuple[str, ...] = ()
    found: Callable[[T], str] | None = None


@dataclass(frozen=True, eq=False)
class Answer(Generic[T]):
    """What came of a question.

    value : the answer.
    known : whether the maker gave it.
    told : what the maker is told of it, a sentence; empty for nothing.
    """

    value: T
    known: bool
    told: str = ""


def given(question: Question[T], text: str) -> Answer[T]:
    """The answer that was typed.

    text : without blanks at its ends.

    Raises InputError with a plain sentence where it cannot be read.
    """
    value = question.read(text)
    told = "" if question.found is None else question.found(value)
    return Answer(value, known=True, told=told)


def answered(question: Question[T], text: str) -> Answer[T]:
    """The answer that was typed, or what is usual for one who does not know.

    text : without blanks at its ends.

    Raises InputError with a plain sentence where it cannot be read.
    """
    if text.casefold() in DONT_KNOW.union(question.unknown):
        return Answer(question.default, known=False, told=f"Taken: {question.taken}.")
    return given(question, text)
