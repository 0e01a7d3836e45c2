"""Triangles as a plain array: counted, measured, written; nothing of mouldgen is loaded."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

Facts = dict[str, float]


def facts_of(corners: Any) -> Facts:
    """How many triangles (m, 3, 3) [mm] there are, and the volume that they enclose [mm3]."""
    wide = np.asarray(corners, np.float64)
    a, b, c = (wide[:, k] - wide[0, 0] for k in range(3))
    volume = float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)
    return {"triangles": float(len(wide)), "volume_mm3": volume}


def write_stl(file: Path, corners: Any) -> None:
    """Triangles (m, 3, 3) [mm] as a binary STL; normals are left to the reader, as is allowed."""
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    block = np.zeros(len(corners), record)
    block["corners"] = corners
    file.write_bytes(bytes(80) + np.uint32(len(block)).tobytes() + block.tobytes())
