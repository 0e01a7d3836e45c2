"""What a check on a job's keys hands back."""

from __future__ import annotations

# Table, key, what is wrong, what is allowed, what to try.
Objection = tuple[str, str, str, str, str]
