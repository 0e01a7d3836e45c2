"""The page itself as files: what `npm run build` made, by an explicit kind for each ending."""

from __future__ import annotations

import re
from pathlib import Path

from starlette.responses import HTMLResponse, Response

STATIC = Path(__file__).parent / "static"

# Not asked of the system: a registry entry on Windows may call scripts plain text.
_KINDS = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".md": "text/plain; charset=utf-8",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".woff2": "font/woff2",
}
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}")  # longer ones some systems refuse
HOW_TO_BUILD = (
    "The page is not built yet. In a checkout: make page, which fetches what that takes; a wheel"
    " carries the page in it."
)
_BARE = "<!doctype html><html lang=en-GB><title>mouldgen</title><h1>mouldgen</h1><p>{told}</p>"


def built() -> bool:
    """Whether there is a page to show."""
    return (STATIC / "index.html").is_file()


def index() -> Response:
    """The page, or how to build it."""
    if not built():
        return HTMLResponse(_BARE.format(told=HOW_TO_BUILD), 503)
    return HTMLResponse((STATIC / "index.html").read_bytes(), headers={"cache-control": "no-cache"})


def asset(name: str) -> Response | None:
    """A file that the page loads; None where there is none.

    name : of the file, without a folder.
    """
    kind = _KINDS.get(Path(name).suffix)
    if kind is None or ".." in name or not _NAME.fullmatch(name):
        return None
    path = STATIC / "assets" / name
    if not path.is_file():
        return None
    # The build writes a hash of the content into each name, so an asset never changes.
    kept = {"cache-control": "public, max-age=31536000, immutable"}
    return Response(path.read_bytes(), media_type=kind, headers=kept)
