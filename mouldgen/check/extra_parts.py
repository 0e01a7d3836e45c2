"""The extras of a job, looked at as its mould parts are: as solids, and as a printer would."""

from __future__ import annotations

from mouldgen.check.print_parts import PITCH_MM
from mouldgen.check.prints import PrintCheck, prints
from mouldgen.check.sound import sound
from mouldgen.errors import NoAnswerError
from mouldgen.finding import Finding
from mouldgen.mould.extras import ExtraPart, make_extras
from mouldgen.mould.extras.question import ExtrasQuestion


def checked_extras(
    question: ExtrasQuestion,
) -> tuple[tuple[ExtraPart, ...], tuple[PrintCheck, ...], tuple[Finding, ...]]:
    """The extras that a job asks for, what each is like to print, and what to look at.

    question : what they depend on.

    A pot without room for a mould is a finding, and there are no extras then.
    """
    try:
        extras = make_extras(question)
    except NoAnswerError as error:
        found = Finding("extras.no-room", "extras", "stop", str(error), place="[extras]")
        return (), (), (found,)
    parts = [made.part for made in extras]
    line, layer = question.printer.line, question.printer.layer
    checks = tuple(
        prints(part.mesh, name=part.name, line_mm=line, layer_mm=layer, pitch_mm=PITCH_MM)
        for part in parts
    )
    findings = [
        *(remark for made in extras for remark in made.extra.remarks),
        *(
            finding
            for part in parts
            for finding in sound(part.mesh, name=part.name, genus=part.genus, shells=part.shells)
        ),
        *(finding for check in checks for finding in check.findings),
    ]
    return extras, checks, tuple(findings)
