"""The one list of public names: sorted, complete, importable, and what it says it is."""

import ast
import pkgutil
from importlib import import_module
from importlib.metadata import version
from pathlib import Path

import pytest

import mouldgen
from mouldgen import errors


def test_public_names_are_sorted_and_all_of_them_are_in_all() -> None:
    homes = mouldgen._HOME

    assert list(homes) == sorted(homes)
    assert mouldgen.__all__ == list(homes)
    assert set(homes) <= set(dir(mouldgen))


@pytest.mark.parametrize(("name", "home"), mouldgen._HOME.items())
def test_public_name_is_the_object_of_its_home(name: str, home: str) -> None:
    assert getattr(mouldgen, name) is getattr(import_module(home), name)


def test_no_public_name_is_hidden_by_a_room_or_file() -> None:
    rooms = {module.name for module in pkgutil.iter_modules(mouldgen.__path__)}

    assert rooms.isdisjoint(mouldgen.__all__)


def test_every_error_of_the_tree_is_public() -> None:
    tree = {
        name
        for name, value in vars(errors).items()
        if isinstance(value, type) and issubclass(value, errors.MouldgenError)
    }

    assert {name for name, home in mouldgen._HOME.items() if home == "mouldgen.errors"} == tree


def test_names_for_type_checkers_are_those_of_the_list() -> None:
    tree = ast.parse(Path(mouldgen.__file__).read_text(encoding="utf-8"))
    guarded = next(node for node in tree.body if isinstance(node, ast.If))

    seen = {
        alias.asname: node.module
        for node in guarded.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }

    assert seen == mouldgen._HOME


def test_version_is_the_installed_one() -> None:
    assert mouldgen.__version__ == version("mouldgen")


def test_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match=r"'mouldgen' has no attribute 'nothing'"):
        _ = mouldgen.nothing
