"""Drawing: the few lines of SVG that our pictures are made of, with every text escaped."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from markupsafe import Markup, escape

Value = str | float | int

_PART: Final = re.compile(r"[^ ./]*[ ./]|[^ ./]+")
WIDEST_LETTER: Final = 0.62  # of the type size: a generous mean, so that nothing we set runs over


def element(name: str, *children: str | Markup, **attributes: Value) -> Markup:
    """One element; ``class_`` and ``for_`` lose their underscore, other underscores become hyphens.

    Examples
    --------
    >>> element("text", "A < B", x=1.25, text_anchor="end")
    Markup('<text x="1.25" text-anchor="end">A &lt; B</text>')
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(_number(value))}"'
        for key, value in attributes.items()
    )
    inside = "".join(escape(child) for child in children)
    return Markup(f"<{name}{written}>{inside}</{name}>")  # noqa: S704 - all of it is escaped


def picture(*children: Markup, width: float, height: float, label: str, class_: str) -> Markup:
    """A whole drawing with the words that a screen reader says instead of it."""
    return element(
        "svg",
        *children,
        class_=class_,
        viewBox=f"0 0 {_number(width)} {_number(height)}",
        role="img",
        aria_label=label,
        focusable="false",
    )


def path(points: Sequence[tuple[float, float]], **attributes: Value) -> Markup:
    """A line through points."""
    steps = " L".join(f"{_number(x)} {_number(y)}" for x, y in points)
    return element("path", d=f"M{steps}", **attributes)


def wrapped(text: str, *, width: float, type_size: float) -> list[str]:
    """Lines that fit a width: broken at spaces and after dots, else anywhere; never cut.

    Examples
    --------
    >>> wrapped("desk.main-left.level", width=100, type_size=16)
    ['desk.', 'main-left.', 'level']
    """
    room = max(1, int(width / (WIDEST_LETTER * type_size)))
    lines = [""]
    for part in _parts(text):
        if lines[-1] and len(lines[-1]) + len(part.rstrip()) > room:
            lines[-1] = lines[-1].rstrip()
            lines.append("")
        lines[-1] += part
        while len(lines[-1].rstrip()) > room:
            lines[-1:] = [lines[-1][:room], lines[-1][room:]]
    return [line.rstrip() for line in lines]


def _parts(text: str) -> list[str]:
    """The text in pieces after which a line may end."""
    return _PART.findall(text)


def _number(value: Value) -> str:
    """Two decimals are finer than any screen."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
