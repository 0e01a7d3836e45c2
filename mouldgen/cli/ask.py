"""Asks one thing at a time, explains what "don't know" means, and asks again after a slip."""

from __future__ import annotations

from typing import TypeVar

from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.desk.question import Answer, Question, answered, given
from mouldgen.errors import InputError, UsageError

T = TypeVar("T")
_INDENT = "   "


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
                return _told(given(question, typed))
            except InputError as problem:
                say_wrapped(str(problem))
        self._number += 1
        say()
        _show(question)
        say_wrapped(question.text, first=f"{self._number}. ")
        while True:
            text = _line(self._again)
            try:
                return _told(answered(question, text))
            except InputError as problem:
                say_wrapped(str(problem), first=_INDENT)


def _show(question: Question[T]) -> None:
    """What stands above a question: what there is to choose from, or where to measure."""
    if question.choices:
        rows = [(str(i), *row) for i, row in enumerate(question.choices, 1)]
        say(table(rows, right=(0,), indent=_INDENT))
    if question.drawing:
        say(question.drawing)


def _told(answer: Answer[T]) -> Answer[T]:
    if answer.told:
        say_wrapped(answer.told, first=_INDENT)
    return answer


def _line(again: str) -> str:
    try:
        return input(f"{_INDENT}> ").strip()
    except EOFError:
        say()
        what = "the answers ended before the last question"
    except UnicodeError:  # a stream may tell it otherwise than as what cannot be decoded
        what = "what was typed is not UTF-8"
    raise UsageError(
        what,
        allowed="an answer a line, and an empty line, ? or don't know where you do not know",
        try_=f"Nothing was written. Start again with: {again}.",
    )
