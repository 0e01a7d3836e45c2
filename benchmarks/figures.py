"""Figures that docs/performance.md is made from: kept by the benchmarks, each its own section.

Nothing in it tells which machine it was but its kind: no name, no path.
"""

from __future__ import annotations

import json
import os
import platform
from importlib import metadata
from pathlib import Path
from typing import Any

FILE = Path(__file__).parent.parent / "docs" / "figures" / "performance.json"
PACKAGES = ("manifold3d", "numpy", "scipy", "shapely", "statsmodels", "trimesh")


def keep(section: str, values: dict[str, Any]) -> None:
    """Put a section's figures into the file, those of other sections untouched.

    section : its name.
    values : what was measured.
    """
    found = kept() if FILE.exists() else {}
    found[section] = {"machine": machine(), **values}
    FILE.parent.mkdir(exist_ok=True)
    ordered = dict(sorted(rounded(found).items()))
    text = json.dumps(ordered, indent=1, ensure_ascii=False)
    FILE.write_text(text + "\n", encoding="utf-8")


def kept() -> dict[str, Any]:
    """Every section that was kept."""
    found: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
    return found


def machine() -> dict[str, Any]:
    """What kind of machine this is, and the versions of what runs on it."""
    versions = {"python": platform.python_version()}
    for name in PACKAGES:
        try:
            versions[name] = metadata.version(name)
        except metadata.PackageNotFoundError:
            versions[name] = "none"
    return {
        "system": f"{platform.system()} {platform.machine()}",
        "processor": _processor(),
        "cores": cores(),
        "memory_gb": memory_gb(),
        "busy": round(os.getloadavg()[0], 1) if hasattr(os, "getloadavg") else None,
        "versions": versions,
    }


def cores() -> int:
    """That this process may use."""
    able: Any = getattr(os, "sched_getaffinity", None)  # not on every system
    return len(able(0)) if able else os.cpu_count() or 1


def memory_gb() -> float | None:
    """Of the whole machine [GB]; None where the system does not say."""
    try:
        return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 1e9
    except (AttributeError, ValueError, OSError):
        return None


def rounded(value: Any) -> Any:
    """The same with every number to seven digits, which holds what float32 does."""
    if isinstance(value, float):
        return float(f"{value:.7g}")
    if isinstance(value, dict):
        return {str(name): rounded(held) for name, held in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(held) for held in value]
    return value


def _processor() -> str:
    """Its kind, as the system tells it."""
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or platform.machine()
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.machine()
