"""The short name that is lettered on the parts of a set, so that they find each other."""

from __future__ import annotations

LETTERS = "ACDEFHJKLMNPRTUVWXY3479"  # none that reads as another when printed small


def mould_id(job_name: str, *, given: str | None, fingerprint: bytes) -> str:
    """The maker's own id, or the job's initials and two characters of its fingerprint.

    job_name : words joined by hyphens.
    given : the id from the job file, or None.
    fingerprint : at least four bytes that stand for everything that shapes the mould.
    """
    if given is not None:
        return given
    initials = "".join(word[0] for word in job_name.split("-") if word)[:3].upper()
    number = int.from_bytes(fingerprint[:4], "big")
    first, second = divmod(number % len(LETTERS) ** 2, len(LETTERS))
    return f"{initials}-{LETTERS[first]}{LETTERS[second]}"


def label_texts(mould_id: str, gap_mm: float, *, letter: str) -> tuple[str, ...]:
    """What to letter on the parts, the text liked best first.

    The whole line first, less where there is no room for it.

    mould_id : of the set.
    gap_mm : of the set [mm].
    letter : of a trial's rung, or empty.
    """
    if not letter:
        return f"{mould_id} {gap_mm:.2f}", mould_id
    return f"{letter} {mould_id} {gap_mm:.2f}", f"{letter} {gap_mm:.2f}", letter


def note_texts(net_ml: float, poured_g: float) -> tuple[str, ...]:
    """What a lid's second line says of one mould, the text liked best first.

    net_ml : resin to the fill line [ml].
    poured_g : resin to the line that is poured to [g].
    """
    ml, grams = f"{net_ml:.1f} ML", f"{poured_g:.0f} G"
    return f"{ml} {grams}", grams, ml
