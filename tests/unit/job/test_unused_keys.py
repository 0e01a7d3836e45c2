"""Which keys of a job no code reads, from the source itself: the list that a build tells."""

from __future__ import annotations

import ast
import typing
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from mouldgen.job.keys import TABLES
from mouldgen.job.later import _LATER
from mouldgen.job.table import Card

SOURCE = Path(__file__).parents[3] / "mouldgen"
# The model itself, and tables of contradictions: to refuse a key is not to use it.
OF_THE_MODEL = {"usable_mm": ("pot.floor_plate", "pot.lid_in")}  # what a property of it reads
NO_USE = ("job/model.py", "job/contradictions.py", "job/shapes.py",
          "job/shop_checks.py")  # fmt: skip
MODELS = {model.__name__: table for table, model in TABLES.items()}


def reads(source: str) -> set[str]:
    """Keys such as ``pour.shop`` that a source reads.

    Read is an attribute of what is called by its table's name (``job.pour.shop``, ``pour.shop``)
    or annotated with its model (``sheet: Resin``), or a key named as text in a call with it.
    """
    tree = ast.parse(source)
    called = tables_of_names(tree)
    dumped = {
        f"{table}.{key}"
        for node, key in named_reads(tree)
        if key == "model_dump"
        for table in called[last_name(node)]
        for key in TABLES[table].model_fields
    }
    derived = {key for _, name in named_reads(tree) for key in OF_THE_MODEL.get(name, ())}
    return (
        dumped
        | derived
        | {
            f"{table}.{key}"
            for node, key in named_reads(tree)
            for table in called[last_name(node)]
            if key in TABLES[table].model_fields
        }
    )


def tables_of_names(tree: ast.AST) -> dict[str, set[str]]:
    called: dict[str, set[str]] = defaultdict(set)
    for table in TABLES:
        called[table].add(table)
    for node in ast.walk(tree):
        if isinstance(node, ast.arg | ast.AnnAssign) and node.annotation is not None:
            name = node.arg if isinstance(node, ast.arg) else last_name(node.target)
            words = {n.id for n in ast.walk(node.annotation) if isinstance(n, ast.Name)}
            called[name] |= {MODELS[word] for word in words & set(MODELS)}
    return called


def named_reads(tree: ast.AST) -> Iterator[tuple[ast.expr, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
            yield node.value, node.attr
        elif isinstance(node, ast.Call) and node.args:
            for word in node.args[1:]:
                if isinstance(word, ast.Constant) and isinstance(word.value, str):
                    yield node.args[0], word.value


def last_name(node: ast.expr) -> str:
    if isinstance(node, ast.Name):
        return node.id
    return node.attr if isinstance(node, ast.Attribute) else ""


@cache
def unread() -> frozenset[str]:
    """Keys that no file reads, but for those that could change nothing."""
    everything = {f"{table}.{key}" for table, model in TABLES.items() for key in model.model_fields}
    sources = [p for p in SOURCE.rglob("*.py") if p.relative_to(SOURCE).as_posix() not in NO_USE]
    read = {key for path in sources for key in reads(path.read_text(encoding="utf-8"))}
    return frozenset(everything - read - labels() - without_a_choice())


def labels() -> set[str]:
    """What a card says about itself; no number can depend on it."""
    return {
        f"{table}.{key}"
        for table, model in TABLES.items()
        if issubclass(model, Card)
        for key in Card.model_fields
    }


def without_a_choice() -> set[str]:
    """Keys that have one value only, such as the one family of moulds."""
    return {
        f"{table}.{key}"
        for table, model in TABLES.items()
        for key, info in model.model_fields.items()
        if typing.get_origin(info.annotation) is typing.Literal
        and len(typing.get_args(info.annotation)) == 1
    }


def listed() -> set[str]:
    """The list, with every key of a table that is listed as a whole."""
    whole = {f"{table}.{key}" for table in TABLES if table in _LATER
             for key in TABLES[table].model_fields}  # fmt: skip
    return {key for key in _LATER if "." in key} | whole


def test_a_build_tells_every_key_that_no_code_reads_and_no_other() -> None:
    assert unread() == listed()


def test_every_listed_key_is_one_of_the_models() -> None:
    assert {key.partition(".")[0] for key in _LATER} <= set(TABLES)
    assert without_a_choice() == set()


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("x = answer.job.pour.shop", {"pour.shop"}),
        ("def f(pour): return pour.shop + pour.mix", {"pour.shop", "pour.mix"}),
        ("def f(sheet: Resin | None): return sheet.recoat", {"resin.recoat"}),
        ("x: Piece = found\ny = x.thread", {"piece.thread"}),
        ("x = length_of(insert, 'flute_area')", {"insert.flute_area"}),
        ("order.yield_", {"order.yield_"}),
        ("pour.shop = 3", set()),
        ("x = bed.depth + shape.thread + thread", set()),
        ("say('piece.thread')", set()),
        ("def f(sheet: Printer): return sheet.recoat", set()),
    ],
)
def test_what_counts_as_a_read(source: str, found: set[str]) -> None:
    assert reads(source) == found


@pytest.mark.parametrize("key", ["pour.shop", "resin.demould", "resin.recoat", "insert.flute_area"])
def test_keys_that_are_read_are_found_to_be(key: str) -> None:
    assert key not in unread()
