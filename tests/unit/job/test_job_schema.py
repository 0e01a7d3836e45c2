"""The JSON Schema, generated and shipped, against the jobs that are shipped and broken."""

from __future__ import annotations

import json
import tomllib
from typing import Any

import pytest

from mouldgen.job import keys
from mouldgen.job.model import Job
from mouldgen.job.presets import find_card, names, shipped_folder
from mouldgen.job.schema import job_schema, schema_text
from mouldgen.job.translate import _EXAMPLES
from tests.faults.broken_jobs import BROKEN, GOOD

jsonschema = pytest.importorskip("jsonschema")


@pytest.fixture(scope="module")
def judge():
    schema = job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def as_json(toml: bytes) -> Any:
    return json.loads(json.dumps(tomllib.loads(toml.decode()), default=str))


def test_the_shipped_schema_is_the_generated_one():
    shipped = (shipped_folder() / "job.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_text()


@pytest.mark.parametrize("name", names("jobs"))
def test_a_shipped_job_fits_the_schema(judge, name):
    job = as_json(find_card("jobs", name).read_bytes())
    assert [error.message for error in judge.iter_errors(job)] == []


def test_what_may_come_from_a_card_or_the_shop_file_is_not_asked_for(judge):
    bare = as_json(GOOD)
    for table in ("resin", "plastic", "printer"):
        del bare[table]
    for job in (bare, {**bare, "pot": {"rating": "60 psi"}}):
        assert [error.message for error in judge.iter_errors(job)] == []


SEEN_BY_AN_EDITOR = [
    "name-missing", "name-dots", "name-slash", "table-unknown", "key-unknown", "python-name",
    "table-as-list", "colour-as-table", "key-missing", "pieces-missing", "pieces-text",
    "pieces-none", "pieces-million", "yield-over-one", "wood-number", "shape-unknown",
    "ratio-three", "ratio-one", "share-zero", "id-small", "card-number", "format-newer",
]  # fmt: skip


@pytest.mark.parametrize("case", SEEN_BY_AN_EDITOR)
def test_an_editor_sees_what_is_wrong(judge, case):
    content = next(content for name, content, _ in BROKEN if name == case)
    with pytest.raises(jsonschema.ValidationError):
        judge.validate(as_json(content))


def test_only_lengths_may_be_bare_numbers(judge):
    good = as_json(GOOD)
    judge.validate({**good, "mould": {"gap": 1.5}, "unit": "mm"})
    with pytest.raises(jsonschema.ValidationError, match="is not of type 'string'"):
        judge.validate({**good, "pour": {"mix": 6}})


def test_defaults_stand_in_the_words_of_the_file():
    parts = job_schema()["$defs"]
    assert parts["Pour"]["properties"]["close"] == {"type": "string", "default": "840 s"}
    assert parts["Printer"]["properties"]["line"]["default"] == "0.42 mm"
    assert parts["Order"]["properties"]["yield"]["default"] == 0.9


def test_every_table_of_the_job_is_known_by_its_name():
    assert set(keys.TABLES) | set(keys.TOP) == set(Job.model_fields)
    for table, model in keys.TABLES.items():
        assert model.__name__.lower() == table


def test_every_key_that_must_be_given_has_an_example():
    required = {
        (table, key)
        for table in (*keys.TABLES, *keys.NESTED)
        for key, info in keys.fields(table).items()
        # A quantity has an example of its own; a list of two needs one besides.
        if info.is_required() and (keys.quantity_of(info) is None or key == "at")
    }
    assert required == set(_EXAMPLES) - {("", "format")}
