"""From a job file, the shop file, cards and settings to one Job, or one plain sentence."""

from __future__ import annotations

import re
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
from mouldgen.job.model import Job
from mouldgen.job.presets import find_card, names, user_folder
from mouldgen.job.toml import parse_toml, read_toml
from mouldgen.job.translate import first_problem
from mouldgen.job.words import NAME_ALLOWED, is_name, is_reserved, nearest, one_line

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Mesh

FORMAT = 1
SHOP_FILE = "shop.toml"


@dataclass(frozen=True, eq=False)
class LoadedJob:
    """A job and where it came from.

    job : cards, shop file and settings merged in.
    given : the keys that the job file, the shop file and the settings say, such as
        ``pot.rating``; not those of cards.
    source : what messages call the job file.
    learned : what castings have taught, where the caller asked them; the job has the learned yield
        and loss as its own.
    """

    job: Job
    given: tuple[str, ...]
    source: str
    learned: Learned = NOTHING_LEARNED


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
    merged = with_family(merge.with_cards(merge.merge(layers, label=label)))
    try:
        job = Job.model_validate(merged.data)
    except ValidationError as problem:
        raise first_problem(problem, merged) from None
    if job.insert.shape == "scan":
        from mouldgen.job.scan_file import with_scan  # late: most inserts are drawn

        job = with_scan(job, merged, folder=folder, mesh=scan)
    check_contradictions(job, merged)
    return LoadedJob(job=job, given=merged.given, source=label)


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


def find_job(source: str | Path) -> tuple[Path, str]:
    """The file of a job and what messages call it.

    source : as `load_job` takes it.

    Raises JobError for a name that no preset has, and for one that no system stores.
    """
    text = str(source)
    if isinstance(source, Path) or text.endswith(".toml") or re.search(r"[/\\]", text):
        path = Path(text)
        if not path.exists() and "\0" not in text:
            raise _no_such_job(text, path.stem)
        return path, text
    if not is_name(text) or is_reserved(text):
        raise JobError(
            f'"{one_line(text)}" is neither a job file nor the name of a job',
            allowed=f"the path of a file that ends in .toml, or a name: {NAME_ALLOWED}",
            try_=_shipped(),
        )
    if text not in names("jobs"):
        raise _no_such_job(text, text)
    return find_card("jobs", text), f"{text}.toml"


def _no_such_job(text: str, name: str) -> JobError:
    near = nearest(name, names("jobs"))
    beside = Path(f"{text}.toml")
    if is_name(text) and beside.is_file():
        hint = f"There is a file {beside} in this folder."
    else:
        hint = f"Did you mean the shipped job {near}?" if near else _shipped()
    return JobError(
        "there is no such job",
        where=text,
        allowed="the path of a TOML file, or the name of a shipped job",
        try_=hint,
    )


def _shipped() -> str:
    return f"Shipped jobs: {', '.join(names('jobs'))}."


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
    path = shop_file or _find_shop(job_file)
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


def _find_shop(job_file: Path) -> Path | None:
    own = user_folder()
    options = [job_file.parent / SHOP_FILE] + ([own / SHOP_FILE] if own else [])
    return next((path for path in options if path.is_file() and path != job_file), None)


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
