"""What a request says: JSON taken apart field by field, refused in plain words."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

from mouldgen.errors import UsageError
from mouldgen.page.folder import MOST_TEXT_BYTES
from mouldgen.page.problem import TooLargeError


class Asked:
    """One request's fields.

    fields : by name.
    """

    def __init__(self, fields: Mapping[str, Any]) -> None:
        self._fields = fields

    @classmethod
    def of(cls, body: bytes) -> Asked:
        """The fields in a body.  Raises UsageError where it is no JSON object."""
        try:
            fields = json.loads(body)
        except (ValueError, RecursionError):
            fields = None
        if not isinstance(fields, dict):
            raise UsageError("the request is no JSON object")
        return cls(fields)

    def text(self, name: str, default: str | None = None) -> str:
        """A text.

        name : of the field.
        default : where the request does not say it; None where it must.

        Raises UsageError where it is none, or holds half characters, which no file can.
        """
        value = self._fields.get(name, default)
        if not isinstance(value, str) or not _whole(value):
            raise UsageError(f"{name} is not a text", where="request")
        return value

    def job_text(self) -> str:
        """The text of a job file.  Raises UsageError, TooLargeError."""
        value = self.text("text")
        if len(value.encode()) > MOST_TEXT_BYTES:
            raise TooLargeError(
                "this is larger than any job",
                allowed=f"a job file of at most {MOST_TEXT_BYTES // 1000} kB",
            )
        return value

    def texts(self, name: str, *, most: int) -> list[str]:
        """A list of texts.

        name : of the field.
        most : texts that are taken.

        Raises UsageError.
        """
        value = self._fields.get(name, [])
        if not isinstance(value, list) or len(value) > most:
            raise UsageError(f"{name} is not a list of at most {most}", where="request")
        return [Asked({name: one}).text(name) for one in value]

    def flag(self, name: str) -> bool:
        """Yes or no; no where it is not said.  Raises UsageError."""
        value = self._fields.get(name, False)
        if not isinstance(value, bool):
            raise UsageError(f"{name} is neither true nor false", where="request")
        return value

    def one_of(self, name: str, allowed: tuple[str, ...], default: str | None = None) -> str:
        """One of some words.

        name : of the field.
        allowed : the words.
        default : where the request does not say it.

        Raises UsageError.
        """
        value = self.text(name, default)
        if value not in allowed:
            raise UsageError(
                f"{name} is none of those there are", where="request", allowed=", ".join(allowed)
            )
        return value

    def change(self, name: str = "change") -> dict[str, Any] | None:
        """One edit, or None where there is none.

        name : of the field.

        Raises UsageError.
        """
        value = self._fields.get(name)
        if value is None:
            return None
        if not isinstance(value, dict):
            raise UsageError(f"{name} is not an edit", where="request")
        return Asked(value).edit()

    def edit(self) -> dict[str, Any]:
        """The fields themselves as one edit.  Raises UsageError."""
        told: dict[str, Any] = {"key": self.text("key")}
        if self.flag("add"):
            return {**told, "add": True}
        if self.flag("drop"):
            return {**told, "drop": True}
        return {**told, "said": self.text("said")}

    def day(self, today: dt.date) -> str:
        """The first day, as a date is written.

        today : where the request has none.

        Raises UsageError.
        """
        value = self.text("today", today.isoformat())
        try:
            return dt.date.fromisoformat(value).isoformat()
        except ValueError:
            raise UsageError(
                "today is not a day", where="request", allowed="a date such as 2026-11-30"
            ) from None


def _whole(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True
