"""Words that have no place in any text of the project, and those kept from its readers."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HERE = Path(__file__).relative_to(ROOT).as_posix()
READ_BY_MAKERS = ("README.md", "CHANGELOG.md", "docs/", "mouldgen/", "presets/")

EVERYWHERE = {
    "a path of one machine": r"(?<![\w.])/(?:work|root|home|Users|mnt)/\w|\b[A-Z]:\\\\?Users\b",
    "a package registry's address": (
        r"pypi\.org|pythonhosted\.org|registry\.npmjs|deb\.debian\.org|conda\.anaconda"
    ),
    "the number of an issue": r"\bissues? #?\d+",
}
FOR_MAKERS = {
    "an ounce that is neither of mass nor of which volume": r"\d[ -]?oz\b",
    "a promise that nobody can keep": r"\b(?:is|are|be|food)[ -]safe\b|\bsafely\b",
}


def texts() -> dict[str, str]:
    """Every text file that is or would be committed."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    if listed.returncode:
        pytest.skip("not a checkout")
    found = {}
    for name in listed.stdout.decode().split("\0"):
        path = ROOT / name
        if name in ("", HERE) or not path.is_file():
            continue
        data = path.read_bytes()
        if b"\0" not in data:
            found[name] = data.decode("utf-8", errors="replace")
    return found


def hits(pattern: str, found: dict[str, str]) -> list[str]:
    search = re.compile(pattern, re.IGNORECASE)
    return [
        f"{name}:{number}: {line.strip()}"
        for name, text in found.items()
        for number, line in enumerate(text.splitlines(), start=1)
        if search.search(line)
    ]


@pytest.mark.parametrize("what", EVERYWHERE)
def test_no_file_holds(what: str) -> None:
    assert hits(EVERYWHERE[what], texts()) == []


@pytest.mark.parametrize("what", FOR_MAKERS)
def test_no_text_for_makers_holds(what: str) -> None:
    read = {name: text for name, text in texts().items() if name.startswith(READ_BY_MAKERS)}

    assert hits(FOR_MAKERS[what], read) == []


@pytest.mark.parametrize(
    ("what", "text"),
    [
        ("a path of one machine", "open('/home/someone/x')"),
        ("a path of one machine", "C:\\Users\\someone"),
        ("a package registry's address", "https://pypi.org/simple"),
        ("the number of an issue", "see issue 7"),
        ("an ounce that is neither of mass nor of which volume", "pour 8 oz"),
        ("an ounce that is neither of mass nor of which volume", "an 8-oz cup"),
        ("a promise that nobody can keep", "the cured blank is food-safe"),
        ("a promise that nobody can keep", "this pressure is safe"),
    ],
)
def test_what_is_looked_for_is_found(what: str, text: str) -> None:
    pattern = (EVERYWHERE | FOR_MAKERS)[what]

    assert hits(pattern, {"text": text}) == [f"text:1: {text}"]


@pytest.mark.parametrize("text", ["8 US fl oz", "8 imperial fl oz", "the issue is", "./home/x"])
def test_plain_words_are_left_alone(text: str) -> None:
    patterns = EVERYWHERE | FOR_MAKERS

    assert [what for what in patterns if hits(patterns[what], {"text": text})] == []
