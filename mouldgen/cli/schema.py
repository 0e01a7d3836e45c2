"""``mouldgen schema``: the job file as a JSON Schema."""

from __future__ import annotations

from mouldgen.cli.say import say_json


def show_schema() -> int:
    """Print the schema."""
    from mouldgen.job.schema import job_schema

    say_json(job_schema())
    return 0
