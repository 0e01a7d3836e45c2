"""A tenon of resin at the blank's lower end: a recess in the floor, coaxial with the bore."""

from __future__ import annotations

from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.job.fastening import fastening
from mouldgen.job.model import Mould, Piece
from mouldgen.mould.label import Round
from mouldgen.mould.stands import LEAST_LEG, PIPS_FROM, ring
from mouldgen.size import Size, SizeQuestion

LARGEST_PIP = 1.2


def pips_round_tenon(question: SizeQuestion, size: Size, diameter_mm: float) -> tuple[Round, ...]:
    """Three pips between the recess and the rim of the insert's lower end.

    question, size : the closed form.
    diameter_mm : of the tenon [mm].

    Raises JobError where the tenon is wider than the bore, or leaves the pips no place.
    """
    end, radius = question.insert.lower, diameter_mm / 2.0
    bore = size.bore_mm(0.0)
    if radius + question.line_mm > bore:
        raise JobError(
            f"a tenon {diameter_mm:g} mm across is wider than the blank of {2.0 * bore:.1f} mm",
            where="[mould] tenon",
            allowed=f"less than {2.0 * (bore - question.line_mm):.1f} mm",
        )
    inner = max(radius + question.line_mm, end.inner_mm)
    room = (end.outer_mm - inner) / 2.0
    if room < LEAST_LEG or end.spots_mm:
        most = 2.0 * (end.outer_mm - question.line_mm - 2.0 * LEAST_LEG)
        raise JobError(
            f"beside a tenon {diameter_mm:g} mm across the insert's lower end has nothing left to"
            " stand on",
            where="[mould] tenon",
            allowed=f"at most {most:.1f} mm"
            if most > 0.0 and not end.spots_mm
            else "no tenon under this insert",
        )
    pip = min(LARGEST_PIP, room)
    start = PIPS_FROM if end.at_deg is None else end.at_deg
    return ring(3, inner + pip, pip, start=start)


def tenon_findings(mould: Mould, size: Size, piece: Piece) -> tuple[Finding, ...]:
    """Is the tenon enough for a chuck, and is the hole drilled from the other end?

    mould : with a tenon.
    size : of the blank.
    piece : the finished piece.

    Raises PresetError where the presets cannot be read.
    """
    if mould.tenon is None:
        return ()
    share, long = fastening("tenon", "across", "long")
    blank = 2.0 * size.bore_mm(0.0)
    found = []
    if mould.tenon < share * blank - 1e-9:
        found.append(
            _warn(
                "thin",
                f"The tenon is {mould.tenon:g} mm across under a blank of {blank:.1f} mm: less than"
                f" {share:.0%} of it, {share * blank:.1f} mm, and may snap off.",
                mould.tenon,
                share * blank,
            )
        )
    if mould.tenon_length < long - 1e-9:
        found.append(
            _warn(
                "short",
                f"The tenon is {mould.tenon_length:g} mm long: jaws hold badly on less than"
                f" {long:g} mm.",
                mould.tenon_length,
                long,
            )
        )
    if piece.hole_from == "bottom" and (piece.thread is not None or piece.hole is not None):
        found.append(
            _warn(
                "hole",
                "The hole is drilled from the bottom, where the chuck holds the tenon: say"
                ' hole_from = "top", or drill it once the tenon is cut off.',
                None,
                None,
            )
        )
    return tuple(found)


def _warn(name: str, message: str, measured: float | None, limit: float | None) -> Finding:
    return Finding(
        id=f"tenon.{name}",
        rule="tenon",
        severity="warn",
        message=message,
        measured=measured,
        limit=limit,
        place="[mould] tenon",
    )
