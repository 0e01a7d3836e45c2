"""What is lettered on a cup and its lid, as far as there is room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mouldgen.finding import Finding
from mouldgen.mould.label import (
    LABEL_EDGE,
    LOWEST_LETTERS,
    Label,
    Round,
    body_label,
    lid_label,
    second_label,
    stroke_of,
)
from mouldgen.mould.naming import label_texts, note_texts
from mouldgen.size import Size


@dataclass(frozen=True, eq=False)
class Lettering:
    """The lettering of a cup and its lid.

    body, lid : the mould's id with the gap, or None.
    note : the lid's second line, what the mould takes; or None.
    remarks : what was left out for want of room, as findings.
    """

    body: Label | None = None
    lid: Label | None = None
    note: Label | None = None
    remarks: tuple[Finding, ...] = ()


def letter_cup(
    size: Size,
    *,
    mould_id: str,
    letter: str,
    line_mm: float,
    holes: Sequence[Round],
    grooves: int,
    taped: bool,
    resin_g_ml: float | None,
) -> Lettering:
    """Letter body and lid.

    size : the closed form.
    mould_id : lettered on both parts.
    letter : of a trial's rung, lettered before it; empty for none.
    line_mm : width of one printed line [mm].
    holes : of the lid, each x, y and radius [mm].
    grooves : how many there are round the bore.
    taped : whether tape goes over the lid's edge.
    resin_g_ml : density of the mixed resin, to letter what the mould takes; None leaves that
        out [g/ml].
    """
    texts = label_texts(mould_id, size.gap_mm, letter=letter)
    stroke, holes = stroke_of(line_mm), list(holes)
    edge = (size.reach_mm if taped else size.lid_reach_mm) - LABEL_EDGE
    on_body = _body_label(texts, size, stroke, grooves=grooves)
    on_lid = lid_label(texts, size, stroke, holes=holes, edge_mm=edge)
    remarks = []
    if on_lid is None or (on_body is None and not size.follows):
        remarks.append(_no_lettering(on_body, on_lid))
    note = None
    if on_lid is not None and resin_g_ml is not None:
        notes = note_texts(size.net_ml, (size.net_ml + size.riser_ml) * resin_g_ml)
        note = second_label(notes, stroke, holes=holes, first=on_lid, edge_mm=edge)
        if note is None or note.text != notes[0]:
            remarks.append(_short_note(notes[0], note))
    return Lettering(on_body, on_lid, note, tuple(remarks))


def _body_label(
    texts: tuple[str, ...], size: Size, stroke_mm: float, *, grooves: int
) -> Label | None:
    if size.follows:
        return None  # its wall has no flat: the lid has the lettering
    if size.halves:
        from mouldgen.mould.halves import back_label  # late: most moulds are cups

        return back_label(texts, size, stroke_mm)
    return body_label(texts, size, stroke_mm, grooves=grooves)


def _no_lettering(body: Label | None, lid: Label | None) -> Finding:
    bare = [name for name, label in (("body", body), ("lid", lid)) if label is None]
    return Finding(
        id="cup.no-lettering",
        rule="cup",
        severity="note",
        message=(
            f"Too small for letters {LOWEST_LETTERS:g} mm high on the {' and the '.join(bare)}:"
            " mark it by hand."
        ),
        limit=LOWEST_LETTERS,
        place=" and ".join(bare),
    )


def _short_note(wanted: str, note: Label | None) -> Finding:
    there = "it is left out" if note is None else f"it says {note.text} only"
    return Finding(
        id="cup.short-lettering",
        rule="cup",
        severity="note",
        message=f"The lid has no room to be lettered {wanted} besides its id: {there}.",
        limit=LOWEST_LETTERS,
        place="lid",
    )
