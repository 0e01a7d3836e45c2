"""What becomes of errors, interruptions and a reader who has left."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from mouldgen.cli import app, edge, schema
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


@pytest.mark.skipif(os.name == "nt", reason="a shell of another kind")
@pytest.mark.parametrize("ends", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
@pytest.mark.parametrize(("words", "code"), [("presets", 0), ("new", 2), ("log result", 2)])
def test_a_stream_that_is_closed_reads_as_empty_and_takes_what_is_written(
    tmp_path: Path, ends: str, words: str, code: int
) -> None:
    process = subprocess.run(
        ["sh", "-c", f"{shlex.quote(sys.executable)} -m mouldgen {words} {ends}"],
        capture_output=True,
        cwd=tmp_path,
        check=False,
    )

    assert process.returncode == code
    assert b"Traceback" not in process.stderr
    assert b"bug" not in process.stderr
    assert list(tmp_path.iterdir()) == []


def test_ctrl_c_while_the_words_are_parsed_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def schema() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(app, "COMMANDS", (schema, *app.COMMANDS[:1]))
    run = mouldgen("schema")

    assert (run.code, run.out, run.err) == (130, "", "Interrupted.\n")


def test_ctrl_c_before_or_after_that_is_told_too(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def pressed(_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(edge, "run", pressed)

    assert mouldgen("schema").code == 130
    assert capfd.readouterr().err == "Interrupted.\n"


def test_ctrl_c_in_a_text_that_is_run_ends_with_its_exit_code_too() -> None:
    pressed = """
import sys
from mouldgen import cli
from mouldgen.cli import edge
edge.run = lambda _: exec("raise KeyboardInterrupt")
sys.exit(cli.main())
"""
    process = subprocess.run([sys.executable, "-c", pressed], capture_output=True, check=False)

    assert (process.returncode, process.stderr) == (130, b"Interrupted.\n")


def test_answers_in_another_encoding_are_no_bug(tmp_path: Path) -> None:
    process = subprocess.run(
        [sys.executable, "-m", "mouldgen", "new"],
        input=b"Coat pegs\n",
        capture_output=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONIOENCODING": "utf-16"},
        check=False,
    )

    assert process.returncode == 2
    assert "what was typed is not UTF-8" in process.stderr.decode("utf-16")
