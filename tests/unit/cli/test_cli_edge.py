"""What becomes of errors, interruptions and a reader who has left."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from mouldgen.cli import schema
from mouldgen.errors import (
    InternalError,
    JobError,
    KernelError,
    NoAnswerError,
    SurroundingsError,
)
from tests.cli_runs import Run, mouldgen

Raising = Callable[[BaseException], Run]


@pytest.fixture
def raising(monkeypatch: pytest.MonkeyPatch) -> Raising:
    """Runs a command whose body raises."""

    def run(problem: BaseException, *words: str) -> Run:
        def body() -> int:
            raise problem

        monkeypatch.setattr(schema, "show_schema", body)
        return mouldgen("schema", *words)

    return run


@pytest.mark.parametrize(
    ("problem", "code", "says"),
    [
        (JobError("is wrong", where="a [b] c", allowed="x"), 2, "a [b] c: is wrong. Allowed: x.\n"),
        (NoAnswerError("no gap fits", try_="Push harder."), 1, "no gap fits. Push harder.\n"),
        (SurroundingsError("is full", where="out"), 3, "out: is full.\n"),
        (KernelError("came out empty"), 3, "came out empty.\n"),
        (KeyboardInterrupt(), 130, "Interrupted.\n"),
        (OSError(28, "No space left on device"), 3, ("the system refused: No space left on"
                                                    " device.\n")),
        (PermissionError(13, "Permission denied", "x.stl"), 3, ("x.stl: the system refused:"
                                                               " Permission denied.\n")),
        (JobError("line\none\x1b[31m", where="a\tb"), 2, "a b: line one [31m.\n"),
    ],
)  # fmt: skip
def test_an_error_is_one_paragraph_and_its_exit_code(
    raising: Raising, problem: BaseException, code: int, says: str
) -> None:
    run = raising(problem)

    assert (run.code, run.out, run.err) == (code, "", says)


def test_a_bug_shows_no_traceback_but_how_to_see_it(raising: Raising) -> None:
    run = raising(ZeroDivisionError("division by zero"))

    assert run.code == 3
    assert run.err == (
        "mouldgen hit a bug, and it is not your doing (ZeroDivisionError: division by zero). Run"
        " the same words with --verbose to see where.\n"
    )


@pytest.mark.parametrize("problem", [ZeroDivisionError("by zero"), InternalError("by zero")])
def test_verbose_shows_where_a_bug_is(raising: Raising, problem: Exception) -> None:
    run = raising(problem, "--verbose")  # type: ignore[call-arg]

    assert run.code == 3
    assert run.err.startswith("Traceback (most recent call last):")
    assert "in body" in run.err
    assert "with --verbose" not in run.err.splitlines()[-1]


def test_verbose_shows_no_traceback_of_a_slip(raising: Raising) -> None:
    run = raising(JobError("is wrong"), "--verbose")  # type: ignore[call-arg]

    assert run.err == "is wrong.\n"


def test_a_reader_who_leaves_is_not_complained_to() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "mouldgen", "schema"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()

    assert (process.returncode, said) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_under_the_answer_is_told() -> None:
    with Path("/dev/full").open("wb") as full:
        process = subprocess.run(
            [sys.executable, "-m", "mouldgen", "schema"],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
        )

    assert process.returncode == 3
    assert process.stderr.startswith(b"the system refused: No space left on device.")


def test_a_narrow_character_set_does_not_stop_the_answer() -> None:
    process = subprocess.run(
        [sys.executable, "-m", "mouldgen", "new"],
        input=b"",
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        check=False,
    )

    assert process.returncode == 2
    assert b"Traceback" not in process.stderr


@pytest.mark.parametrize(("given", "kept"), [("", "1"), ("3", "3")])
def test_threads_are_limited_unless_the_user_says_how_many(
    monkeypatch: pytest.MonkeyPatch, given: str, kept: str
) -> None:
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", given)
    if not given:
        monkeypatch.delenv("OPENBLAS_NUM_THREADS")

    mouldgen("--help")

    assert os.environ["OPENBLAS_NUM_THREADS"] == kept
