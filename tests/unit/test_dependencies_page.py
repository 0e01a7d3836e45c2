"""docs/dependencies.md names every package there is, once, with all that it is to say."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "dependencies.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]
NAME = re.compile(r"[A-Za-z0-9_.-]+")
ROW = re.compile(r"^\| `([^`]+)` \|(.*)\|$", re.MULTILINE)


def named(requirements: list[str]) -> set[str]:
    return {NAME.match(each)[0] for each in requirements}  # type: ignore[index]


def rows(heading: str) -> dict[str, list[str]]:
    part = PAGE.split(f"## {heading}\n")[1].split("\n## ")[0]
    found = ROW.findall(part)
    assert len(found) == len(dict(found)), "a package is there twice"
    return {name: [cell.strip() for cell in told.split("|")] for name, told in found}


def test_the_page_names_what_the_project_asks_for_and_nothing_else() -> None:
    web = json.loads((ROOT / "web" / "package.json").read_text(encoding="utf-8"))
    optional = named(EXTRAS["pdf"] + EXTRAS["cluster"])

    assert rows("To run mouldgen").keys() == named(PROJECT["dependencies"])
    assert rows("For what is optional").keys() == optional
    assert rows("For tests").keys() == named(EXTRAS["test"]) - optional
    assert rows("For heavy tests").keys() == named(EXTRAS["heavy"])
    assert rows("For the page").keys() == web["dependencies"].keys() | web["devDependencies"].keys()


def test_every_line_says_use_health_licence_and_what_else_there_is() -> None:
    every = [line for line in PAGE.splitlines() if line.startswith("| `")]

    assert every
    for line in every:
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        assert len(cells) == 5, line
        assert all(len(cell) >= 3 for cell in cells[1:]), line


def test_the_oldest_versions_are_the_lower_bounds() -> None:
    """`constraints-oldest.txt` pins each bound itself, padded as releases are written."""
    lines = (ROOT / "constraints-oldest.txt").read_text(encoding="utf-8").splitlines()
    oldest = dict(line.split("==") for line in lines if not line.startswith("#"))
    asked = [*PROJECT["dependencies"], *EXTRAS["pdf"], *EXTRAS["cluster"]]
    bounds = dict(re.fullmatch(r"([\w.-]+)>=([\d.]+)", each).groups() for each in asked)  # type: ignore[union-attr, misc]

    assert list(oldest) == sorted(oldest)
    assert oldest == {name: padded(at) for name, at in bounds.items()}


def padded(version: str) -> str:
    """``3.5`` as ``3.5.0``."""
    return version if version.count(".") >= 2 else f"{version}.0"
