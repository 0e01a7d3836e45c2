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
