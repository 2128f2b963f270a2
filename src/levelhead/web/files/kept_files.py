"""Style sheets and scripts of the pages, out of memory: a page asks for some thirty at once.

Whether a file was changed is looked up at each request, so that a working copy shows what stands
in it; the tag goes by what was read, so that a browser which has it gets no second copy.
"""

from __future__ import annotations

import hashlib
import mimetypes
import re
import stat
from functools import cache
from http import HTTPStatus
from pathlib import Path
from typing import Final, NamedTuple

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.staticfiles import NotModifiedResponse, StaticFiles
from starlette.types import Scope

__all__ = ["STATIC_FOLDER", "KeptFiles", "scripts_behind"]

STATIC_FOLDER: Final = Path(__file__).parents[1] / "static"
_IMPORT: Final = re.compile(r'^import [^"]*"(\.[^"]+)";$', re.MULTILINE)
_TAG_LETTERS: Final = 32


class _Kept(NamedTuple):
    changed_ns: int
    content: bytes
    tag: str


class KeptFiles(StaticFiles):
    """A folder of small files."""

    def __init__(self, folder: Path = STATIC_FOLDER) -> None:
        super().__init__(directory=folder)
        self._kept: dict[str, _Kept] = {}

    async def get_response(self, path: str, scope: Scope) -> Response:
        """One file; a read of the disk takes less than to hand it to another thread."""
        if scope["method"] not in {"GET", "HEAD"}:
            raise HTTPException(HTTPStatus.METHOD_NOT_ALLOWED)
        try:
            full, found = self.lookup_path(path)
        except (ValueError, OSError):  # a zero byte, a name that is too long: no file of ours
            full, found = "", None
        if found is None or not stat.S_ISREG(found.st_mode):
            raise HTTPException(HTTPStatus.NOT_FOUND)
        kept = self._read(full, found.st_mtime_ns)
        kind = mimetypes.guess_type(full)[0]
        response = Response(kept.content, media_type=kind, headers={"etag": kept.tag})
        if self.is_not_modified(response.headers, Headers(scope=scope)):
            return NotModifiedResponse(response.headers)
        return response

    def _read(self, path: str, changed_ns: int) -> _Kept:
        kept = self._kept.get(path)
        if kept is None or kept.changed_ns != changed_ns:
            content = Path(path).read_bytes()
            tag = f'"{hashlib.sha256(content).hexdigest()[:_TAG_LETTERS]}"'
            kept = self._kept[path] = _Kept(changed_ns, content, tag)
        return kept


@cache
def scripts_behind(entry: str) -> tuple[str, ...]:
    """Modules that a script imports at once, directly or not, by their names under ``static``.

    The page names them, so that a browser asks for all together, not for each when it has read the
    one before.

    Examples
    --------
    >>> scripts_behind("sound_check.js")
    ('build/wire.js',)
    """
    found: dict[str, None] = {}
    waiting = [entry]
    while waiting:
        script = STATIC_FOLDER / waiting.pop(0)
        for name in _IMPORT.findall(script.read_text(encoding="utf-8")):
            other = (script.parent / name).resolve().relative_to(STATIC_FOLDER.resolve()).as_posix()
            if other != entry and other not in found:
                found[other] = None
                waiting.append(other)
    return tuple(found)
