"""Scalar formulas must not pull numpy in: a module is loaded by any command that needs a number."""

import subprocess
import sys

import pytest

MODULES = (
    "annulus",
    "arrest",
    "bubble",
    "capillary",
    "gas",
    "general_push",
    "passage",
    "wood",
)


@pytest.mark.parametrize("module", MODULES)
def test_no_numpy_on_import(module: str) -> None:
    ask = f"import sys, mouldgen.physics.{module}; sys.exit('numpy' in sys.modules)"

    assert subprocess.run([sys.executable, "-c", ask], check=False).returncode == 0
