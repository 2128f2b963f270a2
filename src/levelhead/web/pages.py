"""Pages made from templates."""

from __future__ import annotations

from functools import cache
from http import HTTPStatus
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import HTMLResponse

from levelhead.drawing.marks import MARKS, badge, mark_of
from levelhead.drawing.plan.symbols import SYMBOLS
from levelhead.errors import LevelheadError
from levelhead.quantity.typography import with_minus_between_tags
from levelhead.web.files.kept_files import scripts_behind
from levelhead.web.question import LONGEST_TEXT, SETTING_PREFIX, fields_of
from levelhead.web.views.figures import breakable, metres
from levelhead.web.views.pressed import in_the_app

__all__ = ["refused", "rendered"]


def rendered(template: str, **values: Any) -> HTMLResponse:
    """A page or a piece of one, with real minus signs in what is read; fields keep their texts."""
    return HTMLResponse(with_minus_between_tags(_pages().get_template(template).render(values)))


def refused(
    error: LevelheadError, back: str, status: HTTPStatus = HTTPStatus.UNPROCESSABLE_ENTITY
) -> HTMLResponse:
    """A page that says why not, and leads back."""
    page = rendered("refused.html", refusal=error, back=back)
    page.status_code = status
    return page


@cache
def _pages() -> Environment:
    """Templates; a name that is missing is an error, and every text is escaped."""
    pages = Environment(
        loader=PackageLoader("levelhead.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    pages.filters["breakable"] = breakable
    pages.filters["in_the_app"] = in_the_app
    pages.filters["pairs"] = lambda values: [(each, each) for each in values]
    pages.globals.update(
        badge=badge,
        mark_of=mark_of,
        marks=MARKS,
        plan_symbols=SYMBOLS,
        setting_prefix=SETTING_PREFIX,
        longest=LONGEST_TEXT,
        metres=metres,
        kept_fields=fields_of,
        scripts_behind=scripts_behind,
    )
    return pages
