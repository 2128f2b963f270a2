"""Conditions among the words of a question: ``48 V on``, ``4 ohm``, ``with pad``, ``over 30 m``.

A condition says how gear stands, not which gear it is. Each is read off the text and taken out of
it, so that the words that are left name gear and sockets alone. What becomes of it in the rig of
the question is found out by ``planning.asked.conditions_met``; none is dropped without a word.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, Literal

from levelhead.planning.typed.words import plain_text
from levelhead.quantity.units import FOOT_M

__all__ = ["Condition", "Kind", "Read", "condition_words", "read_text"]

Kind = Literal[
    "phantom", "pad", "ohm", "watt", "length", "cable", "through", "level", "volume", "gain",
    "count", "series", "parallel", "sides",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition: what kind, the words that were typed, and what they say.

    ``value`` is a number in SI (ohm, W, m, share of a travel from 0 to 1, how many), ``text`` is
    ``on`` or ``off`` of a switch, words for a cable or a box, or a level.
    """

    kind: Kind
    words: str
    value: float = 0.0
    text: str = ""


@dataclass(frozen=True, slots=True)
class Read:
    """A text of a question: its conditions, and what is left of it."""

    rest: str
    conditions: tuple[Condition, ...]


def read_text(text: str) -> Read:
    """Take the conditions out of what was typed.

    >>> read = read_text("condenser mic with 48 V on")
    >>> read.rest, read.conditions[0].kind, read.conditions[0].text
    ('condenser mic', 'phantom', 'on')
    >>> read_text("passive speaker over 30 m of thin speaker cable").conditions[1].text
    'thin speaker cable'
    """
    plain = plain_text(text)
    found: list[Condition] = []
    for pattern, make in _PATTERNS:
        while (match := pattern.search(plain)) is not None:
            condition = make(match)
            found += [] if condition is None else [_as_typed(condition, text)]
            kept = match.groupdict().get("kept") or ""  # "over" of "over 30 m of thin cable"
            plain = f"{plain[: match.start()]} {kept} {plain[match.end() :]}"
    rest = _DANGLING.sub("", " ".join(plain.split())).strip(" ,;")
    return Read(re.sub(r"\s+([,;])", r"\1", rest), tuple(found))


def _as_typed(condition: Condition, text: str) -> Condition:
    """The words with the capitals in which they were typed, where they stand so in the text."""
    place = text.lower().find(condition.words)
    if place < 0:
        return condition
    return replace(condition, words=text[place : place + len(condition.words)])


# --- what each pattern says ---

_Make = Callable[[re.Match[str]], Condition | None]


def _said(match: re.Match[str]) -> str:
    """The words as typed, without what joins them to the rest."""
    words = match.group(0).strip(" ,;")
    words = re.sub(r"^(?:with|and|at|over|via|using|on)\s+(?:an? |the )?", "", words).strip()
    return re.sub(r"(?<=\d )[vw]\b", lambda unit: unit[0].upper(), words)


def _switch(kind: Kind, off: str) -> _Make:
    """A switch, off where one of the words for it was typed."""
    is_off = re.compile(rf"\b(?:{off})\b")

    def make(match: re.Match[str]) -> Condition:
        text = match.group(0)
        return Condition(kind, _said(match), text="off" if is_off.search(text) else "on")

    return make


def _number(kind: Kind) -> _Make:
    def make(match: re.Match[str]) -> Condition:
        return Condition(kind, _said(match), float(match["n"].replace(",", ".")))

    return make


def _length(match: re.Match[str]) -> Condition:
    number = float(match["n"].replace(",", "."))
    length_m = number * (FOOT_M if match["unit"].startswith("f") else 1.0)
    return Condition("length", f"{match['n']} {match['unit']}", length_m)


def _cable(match: re.Match[str]) -> Condition | None:
    """A cable by its words; a bare ``cable`` says nothing."""
    name = match["name"].strip()
    return Condition("cable", name, text=name) if re.sub(_ANY_CABLE, "", name).strip() else None


def _through(match: re.Match[str]) -> Condition:
    return Condition("through", match.group(0).strip(" ,;"), text=match["box"].strip())


def _level(match: re.Match[str]) -> Condition:
    number, unit = match["n"], _LEVEL_UNITS[re.sub(r"\s", "", match["unit"])]
    return Condition("level", _said(match), text=f"{number} {unit}")


_SHARES: Final = {"half": 0.5, "halfway": 0.5, "half way": 0.5, "quarter": 0.25, "low": 0.25}


def _turned(match: re.Match[str]) -> Condition:
    """How far a control is turned: a share of its travel."""
    groups = match.groupdict()
    how = " ".join(str(groups.get(name) or "") for name in ("how", "how2")).strip()
    percent = re.search(r"(\d+) ?%", how)
    if percent is not None:
        share = min(float(percent[1]) / 100, 1.0)
    elif re.search(r"\bdown\b|\bzero\b|\bminimum\b|\bmin\b", match.group(0)):
        share = 0.0
    else:
        share = next((part for word, part in _SHARES.items() if word in how), 1.0)
    kind: Kind = "gain" if "gain" in match.group(0) or "trim" in match.group(0) else "volume"
    return Condition(kind, _said(match), share)


_COUNTS: Final = {
    "two": 2,
    "both": 2,
    "a pair of": 2,
    "pair of": 2,
    "three": 3,
    "four": 4,
    "six": 6,
}


def _count(match: re.Match[str]) -> Condition:
    typed = match["n"].strip()
    number = float(_COUNTS.get(typed, 0) or re.sub(r"\D", "", typed))
    return Condition("count", typed, number)


def _wired(match: re.Match[str]) -> Condition:
    kind: Kind = "series" if "series" in match.group(0) else "parallel"
    return Condition(kind, match.group(0).strip(" ,;"))


def _sides(match: re.Match[str]) -> Condition:
    return Condition("sides", match.group(0).strip(" ,;"))


# --- patterns, in the order in which they are looked for ---

_LEVEL_UNITS: Final = {
    "dbu": "dBu", "dbv": "dBV", "dbfs": "dBFS", "dbspl": "dB SPL", "spl": "dB SPL", "mv": "mV",
    "v": "V", "vrms": "V",
}  # fmt: skip
_DANGLING: Final = re.compile(r"(?:[\s,;]+(?:with|and|over|through|via|using|on|at|by))+$")
_ANY_CABLE: Final = r"\b(?:long|short|cables?|leads?|cords?|wires?|flex|runs?)\b"
_NOUN: Final = r"(?:cables?|leads?|cords?|wires?|flex)"
_WITH: Final = r"(?:(?:,|;|\bwith|\band|\bover|\bthrough|\bvia|\busing|\bon|\bat|\balong|\bby)\s+)"
_ARTICLE: Final = r"(?:(?:an?|the|my|its|some)\s+)?"
_OFF: Final = r"off|out|down|disengaged|without|no|not"
_PHANTOM: Final = r"(?:\+ ?)?(?:48 v(?: phantom)?|phantom(?: power)?(?:,? ?\(?48 v\)?)?|p48|\+48)"
_PHANTOM_TOLD: Final = (  # "on phantom" and "phantom only" name how a box is fed: its own switch
    rf"{_WITH}?(?:(?:without|no|not)\s+)?{_ARTICLE}(?<!on ){_PHANTOM}(?!\s+(?:only|adaptor|to))"
    rf"(?:\s+(?:is\s+|switched\s+|turned\s+)*(?:on|off|engaged|disengaged))?(?![\w-])"
)
_PAD_TOLD: Final = (
    rf"{_WITH}?(?:(?:without|no)\s+)?{_ARTICLE}(?:-?\d+ db\s+)?\bpad"
    rf"(?:\s+(?:is\s+|switched\s+)*(?:on|off|in|out|engaged))\b|\b(?:with|without|no)\s+"
    rf"{_ARTICLE}(?:-?\d+ db\s+)?pad\b(?!\s+(?:lead|cable))"
)
_FULL: Final = r"(?:all the way|right|fully|full|flat|wide|way)"
_WHAT: Final = r"(?:volume|level|master|gain|trim|fader|knob|it)"
_POSITION: Final = (
    r"(?:full|max(?:imum)?|min(?:imum)?|zero|half(?: ?way)?|a quarter|quarter|low|\d+ ?%)"
)
_TURNED_TO: Final = (
    rf"\b(?:at|on|with)\s+{_ARTICLE}(?P<how>{_POSITION})(?:\s+(?:volume|level|gain|trim|up))?"
    r"(?![\w-]| ?(?:ohm|v\b|w\b|db))"
)
_LEVEL_TOLD: Final = (
    r"\bat\s+(?P<n>[+-]?\d+(?:\.\d+)?)\s*(?P<unit>dbu|dbv|dbfs|db spl|spl|mv|v rms)\b"
)
_LENGTH_TOLD: Final = (
    rf"(?P<kept>{_WITH})?{_ARTICLE}\b(?P<n>\d+(?:[.,]\d+)?) ?"
    r"(?P<unit>m|met(?:er|re)s?|ft|feet|foot)\b(?:\s+(?:long|away|run|of|drum|reel))*"
)
_CABLE_TOLD: Final = (
    rf"(?:{_WITH}){_ARTICLE}(?P<name>(?:[\w.+-]+\s+){{0,6}}?{_NOUN})\b(?!\s+(?:mic|box))"
)
_OHM_TOLD: Final = (
    rf"{_WITH}?{_ARTICLE}\b(?P<n>\d+(?:\.\d+)?) ohms?\b(?:\s+(?:load|tap|output|nominal))?"
)
_LOADS: Final = (
    r"(?:loudspeaker|speaker|spk|spkr|cab|cabinet|wedge|sub|subwoofer|top|horn|monitor|column)s?"
)
_COUNT_TOLD: Final = (
    r"\b(?P<n>two|both|three|four|six|(?:a )?pair of|[2346](?: ?x)?)\s+"
    rf"(?=(?:[\w-]+\s+){{0,3}}?{_LOADS}\b)"
)
_WIRED_TOLD: Final = (
    rf"{_WITH}?(?<![\w-])(?:wired\s+)?(?:series|parallel|daisy[ -]chained?)(?:[ -]wired)?(?![\w-])"
    r"(?!\s+(?:lead|box|socket|jack|link|out|in|conn|thr))"
)
_SIDES_TOLD: Final = (
    r"\b(?:l ?(?:/|\+|&|and) ?r|left (?:and|&|\+) right|left/right|both (?:sides|outputs|outs))\b"
    r"(?:\s+(?:outputs|outs))?"
)


def _phantom(match: re.Match[str]) -> Condition:
    typed = match.group(0)
    is_off = re.search(r"\b(?:off|without|no|not|disengaged)\b", typed) is not None
    return Condition("phantom", _said(match), text="off" if is_off else "on")


def _ohm(match: re.Match[str]) -> Condition:
    return Condition("ohm", f"{match['n']} ohm", float(match["n"]))


_PATTERNS: Final = tuple(
    (re.compile(pattern), make)
    for pattern, make in (
        (_PHANTOM_TOLD, _phantom),
        (_PAD_TOLD, _switch("pad", _OFF)),
        (rf"{_WITH}?{_WHAT}?\s*(?:turned\s+)?\b{_FULL}\s+(?:up|down|open|out)\b", _turned),
        (rf"{_WITH}?{_ARTICLE}\b{_WHAT}\s+(?:is\s+)?(?:at|on|to)\s+(?P<how>{_POSITION})", _turned),
        (_TURNED_TO, _turned),
        (rf"{_WITH}?\bturned (?:down|(?P<how>half ?way) up|up)\b|\bcranked(?: up)?\b", _turned),
        (_LEVEL_TOLD, _level),
        (_LENGTH_TOLD, _length),
        (_CABLE_TOLD, _cable),
        (rf"{_WITH}?\b(?:of\s+)?(?P<name>(?:\d ?x ?)?\d+(?:[.,]\d+)? mm2)(?![\w-])", _cable),
        (_OHM_TOLD, _ohm),
        (rf"{_WITH}?{_ARTICLE}\b(?P<n>\d+(?:\.\d+)?) w\b(?!\s+tap)", _number("watt")),
        (_COUNT_TOLD, _count),
        (_WIRED_TOLD, _wired),
        (_SIDES_TOLD, _sides),
        (rf"\b(?:through|via|by way of)\s+{_ARTICLE}(?P<box>[^,;]+?)(?=,|;|$)", _through),
    )
)


def condition_words() -> frozenset[str]:
    """Words that stand in what can be said of how things stand."""
    patterns = (pattern.pattern for pattern, _ in _PATTERNS)
    return frozenset(word for each in patterns for word in re.findall(r"[a-z]{4,}", each))
