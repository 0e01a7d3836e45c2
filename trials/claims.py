"""What must hold of anything that a person is told, whatever was asked."""

from __future__ import annotations

SENTENCE = 2000  # letters that are told at once, at most
PYTHON = ("Traceback", "<class", "NoneType", "pydantic", "object at 0x", "Errno", "ValueError")


def must(held: bool, told: object) -> None:
    """Raise AssertionError where something does not hold.

    held : whether it does.
    told : what is said where not.
    """
    if not held:
        raise AssertionError(str(told))


def said(sentence: str) -> None:
    """See to it that a person can read a sentence: one line, not endless, nothing of Python.

    sentence : of an error or a finding.
    """
    must(sentence.isprintable(), repr(sentence[:SENTENCE]))
    must(0 < len(sentence) < SENTENCE, f"{len(sentence)} letters: {sentence[:200]}")
    for word in PYTHON:
        must(word not in sentence, sentence)
