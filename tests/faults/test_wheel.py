"""The wheel is whole: it installs in an empty environment and builds the demo elsewhere."""

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


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
