"""The job file as a JSON Schema, for editors that check while a maker types."""

from __future__ import annotations

import json
from typing import Any

from mouldgen.job import keys
from mouldgen.job.model import Job
from mouldgen.job.table import Quantity

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_INHERITED = tuple(keys.CARDS)  # may come from a card or from the shop file, whole or in part


def job_schema() -> dict[str, Any]:
    """JSON Schema, draft 2020-12, of the job file as it is written.

    Of the file, not of the merged job: a table that may start from a card or from the shop file
    asks for no key.  Defaults stand in the words of the file, with their unit.
    """
    whole = Job.model_json_schema(mode="validation", by_alias=True)
    parts = whole.pop("$defs")
    names = {model.__name__: table for table, model in (keys.TABLES | keys.NESTED).items()}
    for model, part in parts.items():
        table = names[model]
        part["properties"] = {
            key: _written(value, keys.quantity_of(keys.fields(table)[key]))
            for key, value in part["properties"].items()
            if key in keys.fields(table)
        }
        part.pop("title", None)
        if table in _INHERITED:
            part.pop("required", None)
        elif table == "insert":  # a scan's length is measured on it
            part["required"].remove("length")
            part["if"] = {"properties": {"shape": {"const": "scan"}}, "required": ["shape"]}
            part["else"] = {"required": ["length"]}
    properties = {key: _written(value, None) for key, value in whole["properties"].items()}
    required = [key for key in whole["required"] if key not in _INHERITED]
    return {
        "$schema": DIALECT,
        "title": "mouldgen job file",
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
        "required": required,
        "$defs": parts,
    }


def schema_text() -> str:
    """The schema as the file that is shipped holds it."""
    return json.dumps(job_schema(), indent=2, ensure_ascii=False) + "\n"


def _written(value: dict[str, Any], mark: Quantity | None) -> dict[str, Any]:
    """One key as it stands in a file: there is no null in TOML, and units are in the values."""
    options = [option for option in value.get("anyOf", ()) if option != {"type": "null"}]
    told = {k: v for k, v in value.items() if k not in ("title", "anyOf", "gt", "ge", "lt", "le")}
    if "default" in told:
        default = told.pop("default")
        if mark and isinstance(default, int | float):
            default = f"{default:g} {mark.unit}"
        if default is not None and not isinstance(default, dict):
            told["default"] = default
    if "items" in told:
        told["items"] = _written(told["items"], None)
    if "prefixItems" in told:
        told["prefixItems"] = [_written(item, None) for item in told["prefixItems"]]
    flat = [_written(option, None) for option in options]
    if len(flat) == 1:
        return {**flat[0], **told}
    return {**told, "anyOf": _unnested(flat)} if flat else told


def _unnested(options: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [inner for option in options for inner in option.get("anyOf", [option])]
