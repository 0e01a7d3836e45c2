"""How long the work of hands takes: the job's own times over those of ``presets/work.toml``."""

from __future__ import annotations

from dataclasses import dataclass, fields

from mouldgen import units
from mouldgen.errors import UnitError
from mouldgen.job.data_tables import data_tables
from mouldgen.job.shop_tables import Work


@dataclass(frozen=True, eq=False)
class WorkTimes:
    """Times of hands [s], each of one piece, mould, cup, bed or load unless it says otherwise.

    wood : to cut one insert to size.
    dry : until the wood's weight is constant; no hands.
    bed : to start and to clear a print bed.
    leak_test : of one mould.
    mould_dry : until it is dry again; no hands.
    release : to ready one mould for the next pour.
    weigh : to set up and weigh one mix.
    split, stir : one tint's share into its cup, and the tint into it.
    pour, place, lid : one mould from one cup, one insert, one lid.
    load, unload : a pot load in and out.
    demould : one blank.
    face_setup, drill_setup, tap_setup, turn_setup : once a batch.
    face, drill, tap, rough, fill, finish, hardware, inspect, pack : one piece.
    sand : one piece, polishing too.
    """

    wood: float
    dry: float
    bed: float
    leak_test: float
    mould_dry: float
    release: float
    weigh: float
    split: float
    stir: float
    pour: float
    place: float
    lid: float
    load: float
    unload: float
    demould: float
    face_setup: float
    face: float
    drill_setup: float
    drill: float
    tap_setup: float
    tap: float
    turn_setup: float
    rough: float
    fill: float
    finish: float
    sand: float
    hardware: float
    inspect: float
    pack: float


def work_times(work: Work | None) -> WorkTimes:
    """The times of a job.

    work : what the maker gives; None for nothing.

    Sanding and polishing take a share of all the turning, `sand_over_turning` of the file, where
    no time is given for them.

    Raises PresetError where the file lacks a key or one cannot be read.
    """
    value = data_tables("work").value
    given = {} if work is None else work.model_dump(exclude_none=True)
    names = [field.name for field in fields(WorkTimes) if field.name != "sand"]
    times = {n: given[n] if n in given else value("work", n, units.time) for n in names}
    sand = given.get("sand")
    if sand is None:
        share = value("work", "sand_over_turning", _share)
        sand = share * (times["rough"] + times["finish"])
    return WorkTimes(sand=sand, **times)


def _share(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value <= 20.0:
        raise UnitError(f"{value} is not a share that fits", allowed="a number from 0 to 20")
    return float(value)
