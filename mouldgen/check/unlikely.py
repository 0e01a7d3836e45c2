"""Numbers that a shop, a resin or a plastic hardly has: a slip of the pen, or a wrong unit.

They are taken as they stand.  A range is wide: what the trade uses lies well inside, and what lies
outside is worth a second look.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from mouldgen.finding import Finding, Severity
from mouldgen.job.model import Job


@dataclass(frozen=True, eq=False)
class Usual:
    """What one key of a job usually lies between.

    place : table and key, such as ``[resin] gel``.
    of : the number, in the unit inside; None where the job has none.
    least, most : of it, in the same unit.
    told : such a number in a maker's units.
    what : whose numbers these are, in a maker's words.
    basis : where the range comes from.
    severity : of a number outside.
    """

    place: str
    of: Callable[[Job], float | None]
    least: float
    most: float
    told: Callable[[float], str]
    what: str
    basis: str
    severity: Severity = "warn"


def _g_ml(value: float) -> str:
    return f"{value:.3g} g/ml"


def _pa_s(value: float) -> str:
    return f"{value:.3g} Pa s" if value >= 1.0 else f"{1000.0 * value:.3g} mPa s"


def _time(seconds: float) -> str:
    for size, name in ((86400.0, "d"), (3600.0, "h"), (60.0, "min")):
        if seconds >= size:
            return f"{seconds / size:.3g} {name}"
    return f"{seconds:.3g} s"


def _temperature(celsius: float) -> str:
    return f"{celsius:.0f} C ({1.8 * celsius + 32.0:.0f} F)"


def _mm(value: float) -> str:
    return f"{value:.3g} mm"


def _psi(kpa: float) -> str:
    return f"{kpa / 6.894757:.3g} psi ({kpa / 100.0:.2g} bar)"


_RESINS = "of a resin that is poured into moulds"

USUAL = (
    Usual("[resin] density_a", lambda job: job.resin.density_a, 0.85, 2.0, _g_ml, _RESINS,
          "belief: epoxies and urethanes 0.95 to 1.2, filled ones more"),
    Usual("[resin] density_b", lambda job: job.resin.density_b, 0.85, 2.0, _g_ml, _RESINS,
          "belief: epoxies and urethanes 0.95 to 1.2, filled ones more"),
    Usual("[resin] viscosity", lambda job: job.resin.viscosity, 0.02, 20.0, _pa_s, _RESINS,
          "belief: told to lie between 0.08 and 2 Pa s; honey has about 10"),
    Usual("[resin] gel", lambda job: job.resin.gel, 90.0, 4.0 * 86400.0, _time, _RESINS,
          "belief: from 2 min of a fast urethane to 3 days of a deep-pour epoxy"),
    Usual("[resin] gel_temperature", lambda job: job.resin.gel_temperature, 10.0, 40.0,
          _temperature, "that a data sheet tells a pot life at",
          "common practice, no source: 20 to 25 C"),
    Usual("[pour] shop", lambda job: job.pour.shop, 5.0, 40.0, _temperature,
          "of a shop that resin cures in", "common practice, no source: sheets ask for 15 to 30 C"),
    Usual("[pour] pressure", lambda job: job.pour.pressure or None, 70.0, 700.0, _psi,
          "in a pot for casting", "common practice, no source: 40 to 60 psi"),
    Usual("[plastic] softens", lambda job: job.plastic.softens, 40.0, 250.0, _temperature,
          "at which a plastic of the trade softens",
          "published for PLA, 55 to 65 C; from memory for the hottest, about 215 C"),
    Usual("[plastic] density", lambda job: job.plastic.density, 0.8, 4.5, _g_ml,
          "of a plastic for printing", "from memory: polypropylene 0.9, filled with metal to 4"),
    Usual("[insert] density", lambda job: job.insert.density, 0.05, 1.5, _g_ml, "of any wood",
          "published: seasoned woods 0.17 (balsa) to 1.37 (lignum vitae); the wall of their cells"
          " has 1.5", "note"),
    Usual("[printer] layer", lambda job: job.printer.layer, 0.04, 0.8, _mm,
          "of a filament printer's layer", "belief: 0.08 to 0.4 mm"),
    Usual("[printer] line", lambda job: job.printer.line, 0.15, 1.6, _mm,
          "of a filament printer's line", "belief: nozzles of 0.2 to 1.2 mm"),
)  # fmt: skip


def unlikely(job: Job) -> tuple[Finding, ...]:
    """What of a job lies far outside of what shops have, each with the usual range.

    job : as it is worked with.
    """
    return tuple(_told(job))


def _told(job: Job) -> Iterator[Finding]:
    for usual in USUAL:
        value = usual.of(job)
        if value is None or usual.least <= value <= usual.most:
            continue
        low = value < usual.least
        told, least, most = map(usual.told, (value, usual.least, usual.most))
        yield Finding(
            id=f"job.unlikely.{usual.place.replace('[', '').replace('] ', '.')}",
            rule="job",
            severity=usual.severity,
            message=(
                f"{usual.place} is {told}. That {usual.what} is between {least} and {most}: look"
                " for a slip of the pen or a wrong unit. It is reckoned with as it stands."
            ),
            measured=value,
            limit=usual.least if low else usual.most,
            place=usual.place,
        )
