"""What a maker must be told before pouring, read from ``presets/cautions.toml``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from mouldgen.errors import PresetError
from mouldgen.job.presets import read_table

APPLIES = ("always", "epoxy", "urethane", "pressure")


@dataclass(frozen=True, eq=False)
class Caution:
    """One topic.

    topic : its table in the preset file.
    short : for a terminal.
    text : for paper.
    """

    topic: str
    short: str
    text: str


def cautions_for(resin_kind: str, *, pressure: bool) -> tuple[Caution, ...]:
    """The cautions that apply, in the order of the file.

    resin_kind : ``epoxy`` or ``urethane``.
    pressure : whether a pot or a pressure is part of the job.

    Raises PresetError where the file is broken.
    """
    told = {"always", resin_kind, *(("pressure",) if pressure else ())}
    return tuple(
        Caution(topic, row["short"], row["text"])
        for topic, row in _rows().items()
        if row["applies"] in told
    )


def _rows() -> dict[str, dict[str, str]]:
    return {topic: _row(topic, row) for topic, row in read_table("cautions").items()}


def _row(topic: str, row: Any) -> dict[str, str]:
    keys = ("applies", "short", "text")
    whole = isinstance(row, dict) and all(isinstance(row.get(key), str) for key in keys)
    if not whole or row["applies"] not in APPLIES:
        raise PresetError(
            "a caution lacks its applies, short or text",
            where=f"cautions.toml [{topic}]",
            allowed=f"text for each, applies one of {', '.join(APPLIES)}",
        )
    return {key: row[key] for key in keys}
