"""Errors as the page is told them: the key at fault, the sentence of the terminal, the status."""

from __future__ import annotations

import pytest

from mouldgen import errors
from mouldgen.errors import JobError, MouldgenError
from mouldgen.page.inside import unforeseen
from mouldgen.page.problem import ConflictError, TooLargeError, key_of, problem_of, status_of


@pytest.mark.parametrize(
    ("where", "key"),
    [
        ("pegs.toml [piece] diameter", "piece.diameter"),
        ("pegs.toml [piece]", "piece"),
        ("pegs.toml [[colour]] 2 share", "colour.2.share"),
        ("pegs.toml [[colour]]", "colour"),
        ("pegs.toml [[insert.member]] 3 at", "insert.member.3.at"),
        ("shop.toml [pot] rating", "pot.rating"),
        ("pegs.toml [insert] file: burl.stl", "insert.file"),
        ("pegs.toml name", "name"),
        ("pegs.toml format", "format"),
        ("job.toml line 2", ""),
        ("pegs.toml", ""),
        ("resins/own.toml", ""),
        ("", ""),
    ],
)
def test_the_key_at_fault_is_read_off_the_place(where: str, key: str) -> None:
    assert key_of(where) == key


def test_a_problem_has_the_facts_and_the_sentence() -> None:
    error = JobError("it is wide", where="x.toml [mould] gap", allowed="less", try_="Try 1 mm.")

    assert problem_of(error, key="piece.length") == {
        "problem": {
            "id": "job",
            "what": "it is wide",
            "where": "x.toml [mould] gap",
            "key": "mould.gap",
            "allowed": "less",
            "try": "Try 1 mm.",
            "text": "x.toml [mould] gap: it is wide. Allowed: less. Try 1 mm.",
        }
    }


def test_what_was_edited_is_at_fault_where_the_error_names_nothing() -> None:
    assert problem_of(JobError("it is wide"), key="mould.gap")["problem"]["key"] == "mould.gap"


@pytest.mark.parametrize(
    ("kind", "status"),
    [
        (errors.InputError, 422),
        (errors.JobError, 422),
        (errors.ScanError, 422),
        (errors.NoAnswerError, 422),
        (errors.SurroundingsError, 503),
        (errors.InternalError, 500),
        (errors.KernelError, 500),
        (ConflictError, 409),
        (TooLargeError, 413),
    ],
)
def test_each_kind_has_its_status(kind: type[MouldgenError], status: int) -> None:
    assert status_of(kind("so it is")) == status


def test_a_bug_is_told_as_one_and_without_where_it_is() -> None:
    told = str(unforeseen(ZeroDivisionError("division by zero")))

    assert told.startswith("mouldgen hit a bug, and it is not your doing (ZeroDivisionError:")
    assert ".py" not in told
