"""What is refused before and while a file is parsed, in words that tell what to do."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from levelhead.errors import ShowError
from levelhead.show.yaml.text import YamlText

__all__ = ["LONGEST_LINE", "refuse_odd_text", "unreadable"]

LONGEST_LINE: Final = 100_000  # characters; a whole show fits, the parser is slow on longer ones
_ODD_SEPARATORS: Final = "\x85\u2028\u2029"  # line ends to some programs and not to others


def refuse_odd_text(source: YamlText) -> None:
    """Stop at what confuses editors or parsers before anything is parsed.

    Raises
    ------
    ShowError
        There are odd line ends, or lines that no person writes.
    """
    _refuse_odd_separators(source)
    _refuse_long_lines(source)


def _refuse_odd_separators(source: YamlText) -> None:
    """Line ends that an editor may show and YAML does not know, or the other way round."""
    for character in _ODD_SEPARATORS:
        if (index := source.text.find(character)) >= 0:
            raise source.error(
                index,
                f"the line separator U+{ord(character):04X}",
                expected="ordinary line ends",
                remedy="Replace it by a new line or a space.",
            )
    index = source.text.replace("\r\n", "\n\n").find("\r")
    if index >= 0:
        raise source.error(
            index,
            "a carriage return alone",
            expected="ordinary line ends",
            remedy="Save it with line ends LF.",
        )


def _refuse_long_lines(source: YamlText) -> None:
    """No person and no program of ours writes them."""
    starts = [*source.line_starts, len(source.text)]
    for start, end in pairwise(starts):
        if end - start > LONGEST_LINE:
            raise source.error(
                start,
                f"a line of {end - start} characters",
                expected=f"lines of {LONGEST_LINE} characters or fewer",
                remedy="Break it where an entry ends, or look for what was pasted by mistake.",
            )


_HINTS: Final = (
    ("'\\t'", "Use spaces, not tabs, at the beginning of a line."),
    (
        "mapping values are not allowed",
        "Put text that contains a colon in quotes, and check the indentation.",
    ),
    ("could not find expected ':'", "Write 'name: value', and close the quotes of the line above."),
    (
        "expected ',' or",
        "Close the bracket; text with brackets of its own, such as a range, goes in quotes.",
    ),
    (
        "special characters are not allowed",
        "Save the file as UTF-8 text; write control characters in no field.",
    ),
    (
        "<document start>",
        "Write everything under the names of a show; nothing stands before or behind them.",
    ),
    ("unexpected end of stream", "Close the quotes that are open there."),
)


def unreadable(source: YamlText, error: Exception) -> ShowError:
    """What the parser says of a text that it cannot read; or that it has no words for it."""
    from ruamel.yaml.error import YAMLError

    return _syntax(source, error) if isinstance(error, YAMLError) else _damaged(source, error)


def _syntax(source: YamlText, error: Exception) -> ShowError:
    """What the parser says, with its place and a hint."""
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    index = mark.index if mark is not None else getattr(error, "position", 0)
    problem = (
        getattr(error, "problem", None) or getattr(error, "reason", None) or "it cannot be read"
    )
    remedy = next(
        (hint for key, hint in _HINTS if key in str(problem)),
        "Look at this line and the one above.",
    )
    return source.error(
        index if isinstance(index, int) else 0,
        f"this is not YAML: {problem}",
        expected="lines of 'name: value'",
        remedy=remedy,
    )


def _damaged(source: YamlText, error: Exception) -> ShowError:
    """Damage that the parser has no words for."""
    return source.error(
        0,
        f"the file is damaged ({type(error).__name__})",
        expected="a show in YAML",
        remedy="Look for odd characters and escapes, or go back to an older copy.",
    )
