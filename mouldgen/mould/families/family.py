"""What a family of moulds offers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from mouldgen.job.model import Insert
from mouldgen.mould.parts import MouldParts
from mouldgen.mould.plan import plan_cup

EVERY_HOLD = ("lid", "tape", "weight", "band", "dowel", "screw", "glue", "none")


@dataclass(frozen=True, eq=False)
class Family:
    """A family of moulds that are closed by a lid.

    name : in the job file.
    title : in a sentence, such as ``one-piece cup``.
    release : how the blank comes out, one sentence for the maker.
    make : every solid of a plan, checked once.
    plan : places the features; takes what `plan_cup` takes, and gives the plan that `make` needs.
    against : insert shapes that it does not take, each with the reason.
    casts_each : how often a mould is used where the maker does not say; 0 for once.
    each_casting : parts that every casting takes anew.
    holds : ways to hold the insert that it is made with, in the words of the job file.
    no_hold : those that it is not, each with the reason.
    """

    name: str
    title: str
    release: str
    make: Callable[[Any, Insert], MouldParts]
    plan: Callable[..., Any] = plan_cup
    against: Mapping[str, str] = field(default_factory=dict)
    casts_each: int = 0
    each_casting: tuple[str, ...] = ()
    holds: tuple[str, ...] = EVERY_HOLD
    no_hold: Mapping[str, str] = field(default_factory=dict)
