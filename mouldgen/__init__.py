"""Printable moulds, bed layouts and resin amounts for casting inserts in two-part resin.

    from mouldgen import build_moulds, load_job

The public names load on first use, so that ``import mouldgen`` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from mouldgen.build import build_moulds as build_moulds
    from mouldgen.errors import CastingsError as CastingsError
    from mouldgen.errors import InputError as InputError
    from mouldgen.errors import InternalError as InternalError
    from mouldgen.errors import JobError as JobError
    from mouldgen.errors import KernelError as KernelError
    from mouldgen.errors import LayoutError as LayoutError
    from mouldgen.errors import MeshFileError as MeshFileError
    from mouldgen.errors import MouldgenError as MouldgenError
    from mouldgen.errors import NoAnswerError as NoAnswerError
    from mouldgen.errors import PlanError as PlanError
    from mouldgen.errors import PresetError as PresetError
    from mouldgen.errors import ScanError as ScanError
    from mouldgen.errors import SurroundingsError as SurroundingsError
    from mouldgen.errors import UnitError as UnitError
    from mouldgen.errors import UsageError as UsageError
    from mouldgen.finding import Bound as Bound
    from mouldgen.finding import Finding as Finding
    from mouldgen.finding import Learned as Learned
    from mouldgen.gap.budget import Gap as Gap
    from mouldgen.job.load import load_job as load_job
    from mouldgen.job.model import Job as Job
    from mouldgen.mould_set import MouldSet as MouldSet


__version__ = "0.1.0"  # the only place; the package's metadata is made from it

# Where each public name lives.  No public name is also the name of a room or file in this
# folder: importing `mouldgen.build` would put the module in its place.
_HOME = {
    "Bound": "mouldgen.finding",
    "CastingsError": "mouldgen.errors",
    "Finding": "mouldgen.finding",
    "Gap": "mouldgen.gap.budget",
    "InputError": "mouldgen.errors",
    "InternalError": "mouldgen.errors",
    "Job": "mouldgen.job.model",
    "JobError": "mouldgen.errors",
    "KernelError": "mouldgen.errors",
    "LayoutError": "mouldgen.errors",
    "Learned": "mouldgen.finding",
    "MeshFileError": "mouldgen.errors",
    "MouldSet": "mouldgen.mould_set",
    "MouldgenError": "mouldgen.errors",
    "NoAnswerError": "mouldgen.errors",
    "PlanError": "mouldgen.errors",
    "PresetError": "mouldgen.errors",
    "ScanError": "mouldgen.errors",
    "SurroundingsError": "mouldgen.errors",
    "UnitError": "mouldgen.errors",
    "UsageError": "mouldgen.errors",
    "build_moulds": "mouldgen.build",
    "load_job": "mouldgen.job.load",
}

__all__ = list(_HOME)


def __getattr__(name: str) -> Any:
    if name in _HOME:
        value = getattr(import_module(_HOME[name]), name)
    else:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    globals()[name] = value  # the next look-up no longer comes here
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})
