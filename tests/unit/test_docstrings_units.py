"""Docstrings agree with signatures, and quantities in physics say their unit.

A documented parameter is a line ``name : meaning`` (or ``a, b : meaning``) at the margin of
the docstring, the form that the whole package uses.
"""

import dataclasses
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from types import ModuleType
from typing import Any

import pytest

import mouldgen

ROOMS = (
    "pour",
    "castings",
    "catalogue",
    "cavity",
    "check",
    "gap",
    "insert",
    "layout",
    "mix",
    "packing",
    "physics",
    "shop",
    "size",
)
PARAMETERS = re.compile(r"^(?P<names>[a-z_]\w*(?:, ?[a-z_]\w*)*) : \S", re.IGNORECASE)
NOT_PARAMETERS = {"Returns", "Raises", "Source", "Sources"}
UNIT = re.compile(r"\[[^\]]+\]")


def modules() -> Iterator[ModuleType]:
    for found in pkgutil.walk_packages(mouldgen.__path__, "mouldgen."):
        if found.name.split(".")[1] in ROOMS:
            yield importlib.import_module(found.name)


def public() -> Iterator[tuple[str, Any]]:
    """Every public function and dataclass of the rooms that compute, with its full name."""
    for module in modules():
        for name, value in vars(module).items():
            if name.startswith("_") or getattr(value, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(value) or dataclasses.is_dataclass(value):
                yield f"{module.__name__}.{name}", value


PUBLIC = dict(public())
# Functions of physics/ in which no quantity has a dimension.
PURE_NUMBERS = {
    "mouldgen.physics.beta.beta_fraction",
    "mouldgen.physics.beta.beta_quantile",
    "mouldgen.physics.beta.beta_share",
    "mouldgen.physics.cure.conversion_at",
    "mouldgen.physics.cure.rate",
    "mouldgen.physics.cure.time_share_at",
    "mouldgen.physics.cure.viscosity_growth",
    "mouldgen.physics.quadrature.integrate",
    "mouldgen.physics.student.t_quantile",
}
PHYSICS = {
    name: value
    for name, value in PUBLIC.items()
    if name.startswith("mouldgen.physics.")
    and name not in PURE_NUMBERS
    and inspect.isfunction(value)
}


def documented(doc: str) -> list[str]:
    """Names of the parameters that a docstring describes."""
    matches = (PARAMETERS.match(line) for line in inspect.cleandoc(doc).splitlines())
    names = [name.strip() for match in matches if match for name in match["names"].split(",")]
    return [name for name in names if name not in NOT_PARAMETERS]


def accepted(value: Any) -> set[str]:
    if dataclasses.is_dataclass(value):
        return {field.name for field in dataclasses.fields(value)} | set(vars(value))
    return set(inspect.signature(value).parameters)


@pytest.mark.parametrize("name", PUBLIC)
def test_documented_parameters_are_in_the_signature(name: str) -> None:
    value = PUBLIC[name]

    assert set(documented(inspect.getdoc(value) or "")) <= accepted(value)


@pytest.mark.parametrize("name", PHYSICS)
def test_physics_documents_every_quantity_with_a_unit(name: str) -> None:
    doc = inspect.getdoc(PHYSICS[name]) or ""

    assert doc, "no docstring"
    assert UNIT.search(doc), "no unit in square brackets"


def test_the_list_of_pure_numbers_is_not_stale() -> None:
    assert set(PUBLIC) >= PURE_NUMBERS


@pytest.mark.parametrize(
    ("doc", "names"),
    [
        ("Air.\n\ngap : width [mm].\n", ["gap"]),
        ("Air.\n\na, b : widths [mm].\n    more : not at the margin\n", ["a", "b"]),
        ("Air.\n\nRaises: nothing.\nReturns : a number.\n", []),
        ("Air: a sentence with a colon.\n", []),
    ],
)
def test_the_reader_of_docstrings_reads(doc: str, names: list[str]) -> None:
    assert documented(doc) == names


def test_a_stale_docstring_is_caught() -> None:
    def area(radius: float) -> float:
        """Area.

        radius : of the circle [mm].
        height : which is gone [mm].
        """
        return radius

    assert set(documented(area.__doc__ or "")) - accepted(area) == {"height"}
