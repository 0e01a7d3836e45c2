"""What the files at the top promise one another: pins, links, targets, commands."""

import re
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
PIN = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*==\d[\w.]*")


def named(page: Path, pattern: str) -> set[str]:
    return set(re.findall(pattern, page.read_text(encoding="utf-8"), re.MULTILINE))


@cache
def commands() -> set[str]:
    """The commands that `mouldgen --help` lists."""
    ask = [sys.executable, "-m", "mouldgen", "--help"]
    text = subprocess.run(ask, capture_output=True, check=True, text=True).stdout
    return set(re.findall(r"^ +([a-z]+) {2,}[A-Z]", text.partition("Commands")[2], re.MULTILINE))


def test_constraints_are_sorted_pins_and_nothing_else() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if not line.startswith("#")]

    assert [pin for pin in pins if not PIN.fullmatch(pin)] == []
    names = [pin.split("==")[0] for pin in pins]
    assert names == sorted(set(names))


def test_every_direct_dependency_is_pinned() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = [project["dependencies"], *project["optional-dependencies"].values()]
    wanted = {re.split(r"[<>=!~\[; ]", line)[0] for group in groups for line in group}
    pinned = {pin.split("==")[0] for pin in named(ROOT / "constraints.txt", r"^[a-z0-9-]+==.*$")}

    assert wanted - pinned == set()


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    links = named(page, r"\]\((?!https?:)([^)#]+)")

    assert [link for link in sorted(links) if not (page.parent / link).exists()] == []


def test_every_page_is_linked_from_the_two_that_lead_to_them() -> None:
    docs = ROOT / "docs"
    linked = {
        (page.parent / link).resolve()
        for page in (ROOT / "README.md", docs / "how-it-fits-together.md")
        for link in named(page, r"\]\((?!https?:)([^)#]+)")
    }

    assert {page.name for page in docs.glob("*.md") if page.resolve() not in linked} == set()


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_make_targets_exist(page: Path) -> None:
    targets = named(ROOT / "Makefile", r"^([a-z-]+):")
    lines = named(page, r"(?:^ *|`)make ((?:[a-z-]+ ?)+)")
    used = {target for line in lines for target in line.split()}

    assert used - targets == set()


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_commands_exist(page: Path) -> None:
    used = named(page, r"(?:^ +|`)mouldgen ([a-z]+)")

    assert commands() >= {"new", "gap", "build"}
    assert used - commands() == set()


def test_make_alone_lists_every_target_that_explains_itself() -> None:
    listed = subprocess.run(
        ["make", "--no-print-directory"], cwd=ROOT, capture_output=True, check=True, text=True
    ).stdout

    assert {line.split()[1] for line in listed.splitlines()} == named(
        ROOT / "Makefile", r"^([a-z-]+):.*## "
    )


def test_the_page_has_the_rooms_and_floors_that_are_held_to() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    (floors,) = (c for c in project["tool"]["importlinter"]["contracts"] if c["id"] == "floors")
    built = [re.findall(r"(?<!\()\b\w+\b(?!\))", layer) for layer in floors["layers"]]
    page = (ROOT / "docs" / "how-it-fits-together.md").read_text(encoding="utf-8")
    steps, told = page.split("## Floors")[0], page.split("```")[1]

    assert [re.findall(r"\w+", line) for line in told.strip().splitlines()] == built
    rooms = {room for layer in built for room in layer} - {"errors", "finding", "markup", "deaf"}
    without_a_step = {
        "cli",
        "page",
        "desk",
        "catalogue",
        "castings",
        "learn",
        "build",
        "looked",
        "made",
        "mould_set",
        "answer",
        "trial",
        "fingerprint",
        "memo",
        "physics",
        "solid",
        "packing",
        "units",
    }
    rows = re.findall(r"^\| \d+ \| ([^|]*) \|", steps, re.MULTILINE)
    assert set(re.findall(r"`(\w+)`", " ".join(rows))) == rooms - without_a_step


def test_make_test_runs_the_tests_that_compare_times_alone() -> None:
    steps = subprocess.run(
        ["make", "--no-print-directory", "--dry-run", "test"],
        cwd=ROOT, capture_output=True, check=True, text=True,
    ).stdout  # fmt: skip
    (suite,) = re.findall(r"-m pytest -n .*", steps)
    (alone,) = re.findall(r"-m pytest .*-m bench.*", steps)

    assert "bench" not in suite
    assert "-p no:xdist" in alone
    assert "-n " not in alone


@pytest.mark.parametrize(
    ("target", "makes_it"),
    [("test", False), ("demo", False), ("page", True), ("wheel", True), ("test-heavy", True)],
)
def test_only_what_needs_the_page_makes_it(target: str, *, makes_it: bool) -> None:
    steps = subprocess.run(
        ["make", "--no-print-directory", "--dry-run", target],
        cwd=ROOT, capture_output=True, check=True, text=True,
    ).stdout  # fmt: skip

    assert ("hatch_build.py" in steps) is makes_it
    assert ("npm" in steps) is (target == "test-heavy")


def test_the_lock_of_the_page_names_versions_and_no_address() -> None:
    text = (ROOT / "web" / "package-lock.json").read_text(encoding="utf-8")
    assert '"three"' in text
    assert "://" not in text
