"""Asks one thing at a time, explains what "don't know" means, and asks again after a slip."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from mouldgen.cli.say import say, say_wrapped
from mouldgen.errors import InputError, UsageError

T = TypeVar("T")
DONT_KNOW = frozenset({"", "?", "don't know", "dont know", "don’t know", "no idea", "unknown"})
MOST = 10  # questions


@dataclass(frozen=True, eq=False)
class Question(Generic[T]):
    """One question.

    text : the question and an example.
    read : an answer from what was typed; raises InputError with a plain sentence.
    default : the answer for one who does not know.
    taken : what that answer is and why, a clause.
    above : shown before the question, line by line: a drawing, a list.
    unknown : more words that say "don't know", such as ``later``.
    found : what is told of an answer that was given, a sentence; empty for nothing.
    """

    text: str
    read: Callable[[str], T]
    default: T
    taken: str
    above: str = ""
    unknown: tuple[str, ...] = ()
    found: Callable[[T], str] | None = None


@dataclass(frozen=True, eq=False)
class Answer(Generic[T]):
    """What came of a question.

    value : the answer.
    known : whether the maker gave it.
    """

    value: T
    known: bool


class Asker:
    """Numbers the questions and reads the answers from standard input.

    again : the command to start again with where the answers end.
    """

    def __init__(self, again: str = "mouldgen new") -> None:
        self._number = 0
        self._again = again

    def ask(self, question: Question[T], *, typed: str | None = None) -> Answer[T]:
        """The answer to a question, asked until it can be read.

        typed : an answer given beforehand, tried first.

        Raises UsageError where the answers end.
        """
        if typed is not None:
            try:
                return _known(question, typed)
            except InputError as problem:
                say_wrapped(str(problem))
        self._number += 1
        say()
        if question.above:
            say(question.above)
        say_wrapped(question.text, first=f"{self._number}. ")
        while True:
            text = _line(self._again)
            if text.casefold() in DONT_KNOW.union(question.unknown):
                say_wrapped(f"Taken: {question.taken}.", first="   ")
                return Answer(question.default, known=False)
            try:
                return _known(question, text)
            except InputError as problem:
                say_wrapped(str(problem), first="   ")


def _known(question: Question[T], text: str) -> Answer[T]:
    value = question.read(text)
    if question.found is not None and (told := question.found(value)):
        say_wrapped(told, first="   ")
    return Answer(value, known=True)


def _line(again: str) -> str:
    try:
        return input("   > ").strip()
    except EOFError:
        say()
        what = "the answers ended before the last question"
    except UnicodeDecodeError:
        what = "what was typed is not UTF-8"
    raise UsageError(
        what,
        allowed="an answer a line, and an empty line, ? or don't know where you do not know",
        try_=f"Nothing was written. Start again with: {again}.",
    )
