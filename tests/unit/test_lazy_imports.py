"""What the first moment of a command may not load: asked of a process of its own."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

SLOW = {
    "jinja2", "manifold3d", "numpy", "peewee", "pydantic", "rich", "scipy", "shapely", "starlette",
    "tomlkit", "trimesh", "uvicorn",
}  # fmt: skip

ASK = """
import json, sys
{statement}
print(json.dumps(sorted(name for name in sys.modules if "." not in name)), file=sys.stderr)
"""

HELP = """
sys.argv = ["mouldgen", {words}]
from mouldgen.cli import main
try:
    main()
except SystemExit as stop:
    assert not stop.code, stop.code
"""


def loaded(statement: str) -> set[str]:
    """Top-level modules in memory after the statement."""
    answer = subprocess.run(
        [sys.executable, "-c", ASK.format(statement=statement)],
        capture_output=True,
        check=True,
        text=True,
    )
    return set(json.loads(answer.stderr.splitlines()[-1]))


@pytest.mark.parametrize(
    "statement",
    [
        "import mouldgen",
        "import mouldgen; dir(mouldgen)",
        "from mouldgen import MouldgenError, Finding, Bound",
        HELP.format(words="'--help'"),
    ],
    ids=["import", "dir", "light-names", "help"],
)
def test_nothing_slow_is_loaded(statement: str) -> None:
    assert loaded(statement) & SLOW == set()


def test_help_of_one_command_loads_pydantic_at_most() -> None:
    # The command line's own library reads options with pydantic.
    assert loaded(HELP.format(words="'build', '--help'")) & SLOW <= {"pydantic"}


def test_a_plain_build_loads_nothing_that_only_scans_need(tmp_path: Path) -> None:
    words = f"'build', 'boathouse-pegs', '--quiet', '--out', {str(tmp_path)!r}"

    assert loaded(HELP.format(words=words)) & {"scipy", "trimesh"} == set()


def test_a_gap_without_a_castings_file_reads_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    statement = HELP.format(words="'gap', 'boathouse-pegs', '--quiet'")
    probe = 'print([n for n in sys.modules if n == "mouldgen.learn" or n.endswith(".store")])'
    answer = subprocess.run(
        [sys.executable, "-c", f"import sys\n{statement}\n{probe}"],
        capture_output=True,
        check=True,
        text=True,
    )

    assert answer.stdout.splitlines()[-1] == "[]"


def test_the_question_can_be_answered_with_yes() -> None:
    assert "numpy" in loaded("import numpy")


def test_a_heavy_name_loads_its_home_when_asked_for() -> None:
    assert "pydantic" in loaded("from mouldgen import Job")
