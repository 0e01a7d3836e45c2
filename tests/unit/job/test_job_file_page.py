"""The page about the job file names every key, its default, and no key that there is not."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from pydantic.fields import FieldInfo

from mouldgen.job import keys
from mouldgen.job.key_words import _words
from mouldgen.job.later import _LATER
from mouldgen.job.table import Card

PAGE = (Path(__file__).parents[3] / "docs" / "job-file.md").read_text(encoding="utf-8")


MODELS = keys.TABLES | keys.NESTED


def rows(head: str) -> dict[str, tuple[str, str]]:
    """Each key below a heading with what the two other columns say."""
    found = re.search(rf"^###? {head}.*?(?=^##|\Z)", PAGE, re.MULTILINE | re.DOTALL)
    assert found, head
    told = re.findall(r"^\| `(\w+)` \| (.*?) \| ([^|]*) \|$", found[0], re.MULTILINE)
    return {key: (means, default) for key, means, default in told}


def section(table: str) -> dict[str, str]:
    """Each key of a table's section with what its last column says."""
    return {key: default for key, (_, default) in rows(rf"\[+{re.escape(table)}\]+").items()}


def told(table: str) -> dict[str, FieldInfo]:
    shared = set(Card.model_fields) if issubclass(MODELS[table], Card) else set()
    return {key: info for key, info in keys.fields(table).items() if key not in shared}


@pytest.mark.parametrize("table", MODELS)
def test_each_table_is_told_key_by_key_in_the_order_of_the_model(table):
    assert list(section(table)) == list(told(table))


@pytest.mark.parametrize("table", MODELS)
def test_each_default_is_the_models(table):
    for key, text in section(table).items():
        info = told(table)[key]
        if info.is_required():
            assert text.startswith("must be given"), key
        elif info.default is not None and info.default != ():
            assert read(table, key, text) == info.default, key
        else:
            assert not text.startswith(("`", "must be")) or text == "`wood` or `density`", key


def read(table: str, key: str, text: str) -> Any:
    """What the model makes of a default as the page writes it."""
    value = tomllib.loads(f"value = {text.strip('`')}")["value"]

    model = MODELS[table]
    name = next(n for n, info in model.model_fields.items() if (info.alias or n) == key)
    parsed = model.__pydantic_validator__.validate_assignment(model.model_construct(), name, value)
    return parsed[0][name] if isinstance(parsed, tuple) else getattr(parsed, name)


@pytest.mark.parametrize(
    ("table", "head"),
    [
        ("top", "Before the first table"),
        ("card", "Tables that may start from a card"),
        *((table, rf"\[+{re.escape(table)}\]+") for table in MODELS),
    ],
)
def test_the_words_are_those_that_fields_are_told_with(table: str, head: str) -> None:
    assert {key: tuple(words) for key, words in _words()[table].items()} == rows(head)
    assert set(_words()) == {"top", "card", *MODELS}


def test_keys_not_used_yet_are_the_ones_in_the_code():
    text = PAGE.split("## Keys that are read and not used yet")[1]
    assert set(re.findall(r"`([\w.]+)`", text)) == _LATER


def test_tables_of_the_shop_file_are_the_ones_in_the_code():
    text = PAGE.split("## The shop file")[1].split("##")[0]
    assert tuple(re.findall(r"`\[(\w+)\]`", text)) == keys.SHOP_TABLES
