"""Findings, cautions, and what tells this sheet from another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.job.cautions import cautions_for
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.plain_words import SEVERITY
from mouldgen.sheet.sheet_data import Facts, Found, Item, Part, Told, Value

if TYPE_CHECKING:
    from mouldgen.finding import Finding


def findings_of(work: SheetWork) -> tuple[Finding, ...]:
    """Those of the set, of mixing and of buying, each message once, the worst first."""
    from mouldgen.finding import worst_first

    of_mix = work.made.findings if work.made else ()
    of_buy = work.purchase.findings if work.purchase else ()
    told: dict[str, Finding] = {}
    for finding in (*work.found.findings, *of_mix, *of_buy):  # buying tells some of mixing again
        told.setdefault(finding.message, finding)
    return worst_first(list(told.values()))


def findings_part(work: SheetWork) -> Part:
    """What must be fixed, looked at and known."""
    found = findings_of(work)
    items: tuple[Item, ...] = tuple(
        Found(f.severity, SEVERITY[f.severity], Value(f"finding.{at}", work.said(f.message)))
        for at, f in enumerate(found)
    )
    if not items:
        items = (Told(Value("finding.none", "Nothing was found.")),)
    return Part("findings", Value("findings.title", "Findings"), items)


def cautions_part(work: SheetWork) -> Part:
    """What must be told before pouring."""
    pressure = work.job.pot is not None or work.job.pour.pressure is not None
    told = cautions_for(work.job.resin.kind, pressure=pressure)
    items = tuple(Told(Value(f"caution.{caution.topic}", caution.text)) for caution in told)
    return Part("cautions", Value("cautions.title", "Mind"), items)


def identity_part(work: SheetWork) -> Part:
    """Mould ids, version and fingerprint."""
    import mouldgen

    found = work.found
    rows: list[tuple[str, tuple[Value, ...]]] = [("job", (Value("made.job", work.job.name),))]
    labels: tuple[Value, ...] = ()
    if found.plan is not None:
        labels = tuple(
            Value(f"made.{which}", label.text)
            for which, label in (("body", found.plan.body_label), ("lid", found.plan.lid_label))
            if label is not None
        )
    if labels:
        rows.append(("lettered on the moulds", labels))
    rows.append(("fingerprint of the job", (Value("made.fingerprint", found.fingerprint),)))
    rows.append(("made by", (Value("made.version", f"mouldgen {mouldgen.__version__}"),)))
    return Part("made", Value("made.title", "This sheet"), (Facts("This sheet", tuple(rows)),))
