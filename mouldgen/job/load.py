"""From a job file, the shop file, cards and settings to one Job, or one plain sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from mouldgen.errors import JobError
from mouldgen.finding import NOTHING_LEARNED, Learned
from mouldgen.job import keys, merge
from mouldgen.job.by_family import with_family
from mouldgen.job.contradictions import check_contradictions
from mouldgen.job.find import SHOP_FILE, find_job, find_shop
from mouldgen.job.model import Job
from mouldgen.job.toml import parse_toml, read_toml
from mouldgen.job.translate import first_problem
from mouldgen.job.words import one_line

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Mesh

FORMAT = 1


@dataclass(frozen=True, eq=False)
class LoadedJob:
    """A job and where it came from.

    job : cards, shop file and settings merged in.
    given : the keys that the job file, the shop file and the settings say, such as
        ``pot.rating``; not those of cards.
    source : what messages call the job file.
    learned : what castings have taught, where the caller asked them; the job has the learned yield
        and loss as its own.
    merged : the tables that it was made from, in the words of the files; None where it was not.
    layers : what those were merged from, the lowest first, without cards.
    """

    job: Job
    given: tuple[str, ...]
    source: str
    learned: Learned = NOTHING_LEARNED
    merged: merge.Merged | None = None
    layers: tuple[merge.Layer, ...] = ()


def load_job(
    source: str | Path,
    *,
    sets: Sequence[str] = (),
    shop_file: Path | None = None,
    scan: Mesh | None = None,
) -> LoadedJob:
    """Read a job, and its scan where it has one.

    source : the path of a TOML file, or the name of a job among the presets.
    sets : settings such as ``order.pieces=24``; they go before the job file.
    shop_file : the shop file; without it ``shop.toml`` beside the job file, else the one in
        the user's folder of presets, else none.
    scan : a mesh in mm in the place of the file that an insert of shape ``scan`` names.

    A job inherits the shop file key by key, and a card gives what neither of them says.  A
    table that names another card than the shop file does starts from that card alone, so that
    the rating of one pot never passes to another.

    Raises JobError for all that is wrong in a file or a setting, PresetError for a broken card,
    MeshFileError and ScanError for a scan that cannot be used, SurroundingsError where the system
    refuses to read.
    """
    path, label = find_job(source)
    return merge_job(
        read_toml(path, label=label),
        label=label,
        sets=sets,
        shop=_shop_layer(path, shop_file),
        folder=path.parent,
        scan=scan,
    )


def unwritten_job(
    data: dict[str, Any], *, label: str, folder: Path, sets: Sequence[str] = ()
) -> LoadedJob:
    """The job that a file would make if it lay in a folder, the folder's shop file merged in.

    data : the file as TOML gives it.
    label : what messages call the file.
    folder : where it would lie.
    sets : settings, as `load_job` uses them.

    Raises what `load_job` raises.
    """
    shop = _shop_layer(folder / f"{label}.toml", None)
    return merge_job(data, label=label, sets=sets, shop=shop, folder=folder)


def unwritten_layers(data: dict[str, Any], *, label: str, folder: Path) -> list[merge.Layer]:
    """What the maker wrote of a job whose file would lie in a folder, as `layers_of` has it.

    data, label, folder : as `unwritten_job` takes them.

    Raises JobError for what cannot be read, and for a key that there is not.
    """
    shop = _shop_layer(folder / f"{label}.toml", None)
    return _layers(data, label=label, sets=(), shop=shop)


def merge_job(
    data: dict[str, Any],
    *,
    label: str,
    sets: Sequence[str] = (),
    shop: merge.Layer | None = None,
    folder: Path = Path(),
    scan: Mesh | None = None,
) -> LoadedJob:
    """The job that a file's tables make, as `load_job` does once it has read them.

    data : the file as TOML gives it.
    label : what messages call the file.
    sets, shop, scan : settings, the shop file and a mesh, as `load_job` uses them.
    folder : that a scan's file is looked for in.

    Raises what `load_job` raises.
    """
    layers = _layers(data, label=label, sets=sets, shop=shop)
    return merged_job(merge_layers(layers, label=label), layers=layers, folder=folder, scan=scan)


def merge_layers(layers: Sequence[merge.Layer], *, label: str) -> merge.Merged:
    """The tables of a job: all layers in one, with cards and what the family says.

    layers : the lowest first, as `layers_of` gives them.
    label : what messages call the job file.

    Raises JobError for a card that is not there, PresetError for a broken one.
    """
    return with_family(merge.with_cards(merge.merge(layers, label=label)))


def merged_job(
    merged: merge.Merged,
    *,
    layers: Sequence[merge.Layer] = (),
    folder: Path = Path(),
    scan: Mesh | None = None,
) -> LoadedJob:
    """The job that tables make.

    merged : as `merge_layers` gives them.
    layers : that they were merged from.
    folder : that a scan's file is looked for in.
    scan : a mesh in mm in the place of that file.

    Raises what `load_job` raises.
    """
    try:
        job = Job.model_validate(merged.data)
    except ValidationError as problem:
        raise first_problem(problem, merged) from None
    if job.insert.shape == "scan":
        from mouldgen.job.scan_file import with_scan  # late: most inserts are drawn

        job = with_scan(job, merged, folder=folder, mesh=scan)
    check_contradictions(job, merged)
    return LoadedJob(job, merged.given, merged.label, merged=merged, layers=tuple(layers))


def layers_of(source: str | Path, *, sets: Sequence[str] = ()) -> list[merge.Layer]:
    """What the maker wrote of a job, before cards and before anything is reckoned.

    source, sets : as `load_job` takes them.

    Raises JobError for what cannot be read, and for a key that there is not.
    """
    path, label = find_job(source)
    data = read_toml(path, label=label)
    return _layers(data, label=label, sets=sets, shop=_shop_layer(path, None))


def _layers(
    data: dict[str, Any], *, label: str, sets: Sequence[str], shop: merge.Layer | None
) -> list[merge.Layer]:
    """Shop file, job file and settings, the lowest first."""
    check_format(data, label=label)
    keys.check_keys(data, label=label)
    unit = data.get("unit", shop.unit if shop else None)
    own = merge.layer(data, label=label, unit=unit)
    return ([shop] if shop else []) + [own] + ([_settings(sets, unit)] if sets else [])


def check_format(data: dict[str, Any], *, label: str, required: bool = True) -> None:
    """Refuse a file of another format than this mouldgen reads.  Raises JobError."""
    if "format" not in data:
        if required:
            raise JobError(
                "the line that says which format this file has is missing",
                where=f"{label} format",
                allowed=f"format = {FORMAT}",
                try_=f"Write format = {FORMAT} as the first line.",
            )
        return
    given = data["format"]
    if isinstance(given, bool) or not isinstance(given, int):
        raise JobError(
            "the format is not a whole number",
            where=f"{label} format",
            allowed=f"format = {FORMAT}",
        )
    if given != FORMAT:
        raise JobError(
            f"this file is format {given}; this mouldgen reads format {FORMAT}",
            where=f"{label} format",
            allowed=f"format = {FORMAT}",
            try_="A newer mouldgen may read it." if given > FORMAT else "",
        )


def _shop_layer(job_file: Path, shop_file: Path | None) -> merge.Layer | None:
    path = shop_file or find_shop(job_file)
    if path is None:
        return None
    label = str(path) if shop_file else SHOP_FILE
    data = read_toml(path, label=label)
    check_format(data, label=label, required=False)
    for key in ("name", "colour"):
        if key in data:
            raise JobError(
                f"{key} belongs in a job file, not here",
                where=label,
                allowed=", ".join(["unit", *(f"[{table}]" for table in keys.SHOP_TABLES)]),
            )
    keys.check_keys(data, label=label, tables=keys.SHOP_TABLES)
    return merge.layer(data, label=label, unit=data.get("unit"))


def _settings(sets: Sequence[str], unit: str | None) -> merge.Layer:
    data: dict[str, Any] = {}
    for setting in sets:
        _put(data, setting)
    keys.check_keys(data, label="--set")
    return merge.layer(data, label="--set", unit=data.get("unit", unit))


def _put(data: dict[str, Any], setting: str) -> None:
    name, equals, text = setting.partition("=")
    table, dot, key = name.strip().partition(".")
    if not equals or not table or (dot and not key) or "." in key:
        raise JobError(
            f'"{one_line(setting)}" is not a setting',
            where="--set",
            allowed="table.key=value, such as order.pieces=24 or mould.gap='1.5 mm'",
        )
    value = setting_value(text.strip())
    if not dot:
        data[table] = value
        return
    if not isinstance(data.setdefault(table, {}), dict) or table in keys.LISTS:
        raise JobError(
            f"{table} cannot be set key by key",
            where=f"--set {name}",
            allowed=f"{table}=[...] with all of it" if table in keys.LISTS else "table.key=value",
        )
    data[table][key] = value


def setting_value(text: str) -> Any:
    """A setting's value: as TOML where it is TOML, else as text."""
    try:
        parsed = parse_toml(f"value = {text}".encode(), label="--set")
    except (JobError, UnicodeEncodeError):
        return text
    return parsed["value"] if list(parsed) == ["value"] else text
