"""Plain forms as they come from a page: short, of text only, each field once."""

from __future__ import annotations

from http import HTTPStatus
from typing import Final
from urllib.parse import parse_qsl

from starlette.exceptions import HTTPException
from starlette.requests import Request

__all__ = ["FORM", "body_of", "form_fields"]

FORM: Final = "application/x-www-form-urlencoded"
_MOST_FIELDS: Final = 600


async def body_of(request: Request, most_bytes: int) -> bytes:
    """The body, refused when it is larger than it may be."""
    body = bytearray()
    async for part in request.stream():
        body += part
        if len(body) > most_bytes:
            raise HTTPException(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "too much text")
    return bytes(body)


async def form_fields(request: Request, most_bytes: int) -> dict[str, str]:
    """Fields of a form that was sent; of a name that comes twice the last counts."""
    if request.headers.get("content-type", "").partition(";")[0] != FORM:
        raise HTTPException(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "send the form of the page")
    body = await body_of(request, most_bytes)
    try:
        pairs = parse_qsl(
            body.decode("ascii"),
            keep_blank_values=True,
            errors="strict",
            max_num_fields=_MOST_FIELDS,
        )
    except ValueError as error:
        raise HTTPException(HTTPStatus.BAD_REQUEST, "no form in UTF-8") from error
    return dict(pairs)
