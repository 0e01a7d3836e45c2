"""The plan of a mould of whichever family; for annotations only, it loads them all."""

from __future__ import annotations

from typing import TypeAlias

from mouldgen.mould.plan import CupPlan
from mouldgen.mould.tray import TrayPlan

AnyPlan: TypeAlias = CupPlan | TrayPlan
