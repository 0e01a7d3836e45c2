"""A weight on a tray's lid, which is one level plate that stands proud of the rim already.

Air leaves all round under it, so that a weight may lie on its ports once the pockets are full.
"""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.mould.tray_hold import TrayHold, TraySite


def place(site: TraySite) -> tuple[TrayHold, tuple[Finding, ...]]:
    """Nothing but how to use it."""
    wide, deep = site.size.lid_mm
    use = (
        f"lay it on the lid, {wide:.0f} x {deep:.0f} mm, in equal parts, over the ports only when"
        " the pockets are full"
    )
    return TrayHold(way="weight", use=use), ()
