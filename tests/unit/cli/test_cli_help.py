"""Help, and words that are no command."""

from __future__ import annotations

import re

import pytest

from mouldgen.cli.app import COMMANDS
from tests.cli_runs import mouldgen

NAMES = [function.__name__ for function in COMMANDS]


def test_commands_stand_in_the_order_of_the_work() -> None:
    shown = mouldgen("--help")

    assert shown.code == 0
    assert shown.err == ""
    assert re.findall(r"^  ([a-z]+) {2,}[A-Z]", shown.out, re.MULTILINE) == [
        "new", "gap", "build", "resin", "potcard", "log", "tune", "demo", "heat", "check", "beds",
        "pot", "buy", "plan", "quote", "sheet", "page", "shortcut", "dry", "trial",
        "catalogue", "presets", "schema",
    ]  # fmt: skip
    assert "..." not in shown.out.split("Commands:")[1], "a sentence was cut off"


def test_no_words_at_all_are_a_call_for_help() -> None:
    assert mouldgen().out == mouldgen("--help").out


@pytest.mark.parametrize("name", NAMES)
def test_every_command_and_option_says_what_it_is(name: str) -> None:
    shown = mouldgen(name, "--help")

    assert shown.code == 0
    assert shown.out.startswith(f"Usage: mouldgen {name} ")
    options = shown.out.split("Options:")[1].split("Commands:")[0]
    assert all(
        re.search(r"  \S", line.strip()) or line.startswith(" " * 10)
        for line in options.splitlines()
        if line.strip()
    )
    assert mouldgen(name, "-h").out == shown.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["gpa"], ("No such command 'gpa'. Did you mean 'gap'? For the words that can follow:"
                  " mouldgen --help.")),
        (["gap"], "Missing argument 'JOB'. For the words that can follow: mouldgen gap --help."),
        (["gap", "a", "b"], "Got unexpected extra argument"),
        (["gap", "a", "--wide"], "No such option: --wide"),
        (["build", "a", "--out"], "Option '--out' requires an argument."),
        (["build", "a", "--json=3"], "Option '--json' does not take a value."),
        (["beds", "a", "--moulds", "0"], "Invalid value for '--moulds':"),
        (["beds", "a", "--moulds", "many"], "Invalid value for '--moulds':"),
        (["check"], "Missing argument 'FILE'."),
        (["--wide"], "No such option: --wide"),
    ],
)  # fmt: skip
def test_wrong_words_are_told_in_one_paragraph(words: list[str], says: str) -> None:
    refused = mouldgen(*words)

    assert refused.code == 2
    assert refused.out == ""
    assert refused.err.startswith(says)
    assert refused.err.count("\n") == 1
    assert re.search(r"mouldgen( \w+)? --help\.\n$", refused.err)
