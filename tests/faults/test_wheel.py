"""The wheel is whole: it installs in an empty environment and builds the demo elsewhere."""

import os
import subprocess
import sys
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


# The first thing that a browser is given, by the application that is installed.
_FIRST_DOCUMENT = """
import datetime as dt, http.client, pathlib, threading, time
import uvicorn
from mouldgen.page.app import page_app
from mouldgen.page.file_answers import shipped_copy
from mouldgen.page.guard import Rules
from mouldgen.page.serve import LOOPBACKS, config_of, open_door
from mouldgen.page.served import serving

if __name__ == "__main__":
    door = open_door(port=0)
    served = serving(
        pathlib.Path(), first=shipped_copy("boathouse-pegs"), today=lambda: dt.date(2026, 11, 2)
    )
    server = uvicorn.Server(config_of(page_app(served, rules=Rules(LOOPBACKS, port=door.port))))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door.socket]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    line = http.client.HTTPConnection("127.0.0.1", door.port, timeout=60)
    line.request("GET", "/")
    answer = line.getresponse()
    print(answer.status)
    print(answer.read()[:15].decode().lower())
    server.should_exit = True
    thread.join(20.0)
"""


def run(*command: str | Path, cwd: Path) -> str:
    """Standard output; on failure the test shows both streams."""
    surroundings = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    surroundings["MOULDGEN_PAGE"] = "as-is"  # made or not: these tests need no npm
    done = subprocess.run(
        command, cwd=cwd, env=surroundings, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(
        sys.executable,
        "-m",
        "build",
        "--wheel",
        "--no-isolation",
        "--outdir",
        folder,
        ROOT,
        cwd=folder,
    )
    return next(folder.glob("mouldgen-*.whl"))


def test_wheel_holds_every_module_and_every_preset_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        packed = {name for name in archive.namelist() if ".dist-info/" not in name}
    code = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "mouldgen").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    presets = {
        "mouldgen/" + path.relative_to(ROOT).as_posix()
        for path in (ROOT / "presets").rglob("*")
        if path.is_file()
    }

    assert presets
    assert packed == code | presets


def test_installed_alone_it_builds_the_demo_from_another_folder(
    wheel: Path, tmp_path: Path
) -> None:
    home = tmp_path / "environment"
    venv.create(home, with_pip=True)
    scripts = home / ("Scripts" if os.name == "nt" else "bin")
    run(
        scripts / "python",
        "-m",
        "pip",
        "install",
        "-q",
        "-c",
        ROOT / "constraints.txt",
        wheel,
        cwd=tmp_path,
    )
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()

    run(scripts / "mouldgen", "demo", "--out", "made", cwd=elsewhere)

    made = elsewhere / "made" / "boathouse-pegs"
    assert (made / "report.json").stat().st_size > 0
    for folder, kinds in {"parts": (".stl", ".3mf"), "beds": (".stl", ".3mf")}.items():
        for kind in kinds:
            files = list((made / folder).glob(f"*{kind}"))
            assert files, f"no {kind} in {folder}"
            assert all(file.stat().st_size > 0 for file in files)
    where = run(
        scripts / "python", "-c", "import mouldgen; print(mouldgen.__file__)", cwd=elsewhere
    )
    assert Path(where.strip()).is_relative_to(home)
    served = run(scripts / "python", "-c", _FIRST_DOCUMENT, cwd=elsewhere)
    made_page = (ROOT / "mouldgen" / "page" / "static" / "index.html").is_file()
    assert served.splitlines() == ["200" if made_page else "503", "<!doctype html>"]


def test_the_source_archive_builds_the_same_wheel(wheel: Path, tmp_path: Path) -> None:
    build = (sys.executable, "-m", "build", "--no-isolation", "--outdir")
    run(*build, tmp_path / "source", "--sdist", ROOT, cwd=tmp_path)
    (archive,) = (tmp_path / "source").glob("mouldgen-*.tar.gz")
    with tarfile.open(archive) as packed:
        packed.extractall(tmp_path, filter="data")
    unpacked = tmp_path / archive.name.removesuffix(".tar.gz")
    run(*build, tmp_path / "again", "--wheel", unpacked, cwd=tmp_path)
    (again,) = (tmp_path / "again").glob("mouldgen-*.whl")

    with zipfile.ZipFile(wheel) as one, zipfile.ZipFile(again) as other:
        assert sorted(one.namelist()) == sorted(other.namelist())
        for name in one.namelist():
            assert one.read(name) == other.read(name), name
