"""``mouldgen schema``: the job file as a JSON Schema."""

from __future__ import annotations

from mouldgen.cli.say import say


def show_schema() -> int:
    """Print the schema."""
    import json

    from mouldgen.job.schema import job_schema

    # Nothing is added: editors may refuse what they do not know.
    say(json.dumps(job_schema(), indent=2, allow_nan=False))
    return 0
