"""One row of a catalogue: what became of a variant."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from mouldgen.mould_set import MouldSet

# refused: the job cannot be worked as it stands.
Trouble = Literal["", "refused", "bug", "surroundings", "memory", "too-long", "died"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Row:
    """What became of a variant; figures are those of `report.json`, as it rounds them.

    name : of the variant's job.
    settings : what it sets, key by key, as it was typed.
    ready : whether nothing must be fixed.
    gap_mm : None in a conflict [mm].
    set_by : the rule that set the gap.
    measured_least_mm : on the solids [mm].
    cavity_ml, net_ml : of one mould; net is without the insert [ml].
    moulds : to start.
    total_g : resin for all, loss included [g].
    filament_g : for all moulds, printed solid [g].
    beds : print beds that they take.
    must_fix : the first thing that must be fixed; empty where there is none.
    error : why it could not be made; empty where it was.
    trouble : the kind of that.
    fingerprint : of the set; empty where there is none.
    seconds : that it took [s].
    attempts : how often it was begun.
    """

    name: str
    settings: tuple[tuple[str, str], ...]
    ready: bool = False
    gap_mm: float | None = None
    set_by: str = ""
    measured_least_mm: float | None = None
    cavity_ml: float | None = None
    net_ml: float | None = None
    moulds: int | None = None
    total_g: float | None = None
    filament_g: float | None = None
    beds: int | None = None
    must_fix: str = ""
    error: str = ""
    trouble: Trouble = ""
    fingerprint: str = ""
    seconds: float = 0.0
    attempts: int = 1


# What the table shows behind the settings.  Seconds and attempts are left to the journal: they
# differ from run to run, and the same variants give the same bytes.
FIGURES = (
    "ready", "gap_mm", "set_by", "measured_least_mm", "cavity_ml", "net_ml", "moulds", "total_g",
    "filament_g", "beds", "must_fix", "error", "fingerprint",
)  # fmt: skip


def row_of(found: MouldSet, *, name: str, settings: tuple[tuple[str, str], ...]) -> Row:
    """The row of a set that was made, or that no gap fits.

    found : the set.
    name, settings : of its variant.
    """
    from mouldgen.files.report import report_of  # late: only a worker asks for it

    report = report_of(found)
    gap, volume = report["gap"], report["volume"] or {}
    made = found.parts is not None
    must_fix = [finding.message for finding in found.findings if finding.severity == "stop"]
    return Row(
        name=name,
        settings=settings,
        ready=not found.stopped and made,
        gap_mm=gap["gap_mm"],
        set_by=gap["set_by"] or "",
        measured_least_mm=gap["measured_least_mm"],
        cavity_ml=volume.get("cavity_ml"),
        net_ml=volume.get("net_ml"),
        moulds=volume.get("moulds"),
        total_g=volume.get("total_g"),
        filament_g=report["filament_g"] if made else None,
        beds=len(found.beds) if made else None,
        must_fix=must_fix[0] if must_fix else "",
        fingerprint=found.fingerprint,
    )


def row_data(row: Row) -> dict[str, Any]:
    """A row as JSON-ready data, settings as pairs in their order."""
    data = {field.name: getattr(row, field.name) for field in dataclasses.fields(row)}
    return {**data, "settings": [list(pair) for pair in row.settings]}


def row_from(data: dict[str, Any]) -> Row:
    """The row that such data tells.

    Raises TypeError, ValueError or KeyError for other data.
    """
    settings = tuple((str(key), str(value)) for key, value in data["settings"])
    return Row(**{**data, "settings": settings})


def cell(value: Any) -> str:
    """A figure as a cell of the table shows it; on one line."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.10g}" if isinstance(value, float) else " ".join(str(value).split())
