"""One more source: what hears or joins it, into which free input, with which cable.

Every proposal is a list of edits that was applied to a copy of the show, solved and judged with the
gain at its place; what it makes worse elsewhere counts against it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from statistics import median
from typing import Any, Final

from levelhead.errors import AskError
from levelhead.planning.additions import Chain, Output, chains_for, meanings
from levelhead.planning.attempt import Attempt, attempted
from levelhead.planning.boxes import fans
from levelhead.planning.conditions import read_text
from levelhead.planning.conditions_met import NOT_UNDERSTOOD, Unused
from levelhead.planning.free_inputs import Inputs, free_inputs, free_pairs, occupied
from levelhead.planning.own_sockets import find_ports, unmet_words
from levelhead.planning.stock import lacking, stock_words, taken
from levelhead.planning.trial import Trial
from levelhead.planning.typed_words import tokens, words_in_turn
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import usual_cable
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit, Plug, Set, Unplug
from levelhead.show.model import Cable, Link
from levelhead.show.wording import sentence
from levelhead.verdicts.severity import Severity

__all__ = ["Freed", "Proposal", "Proposals", "join", "propose", "propose_in_show"]

_MOST: Final = 6  # proposals
_FOUND_OUT: Final = "with a show, that is found out or looked up in it"
_MOST_FREED: Final = 3
_PAIR: Final = 2


@dataclass(frozen=True, slots=True)
class Proposal:
    """One way to do it, as edits of the show, with the verdict that they had."""

    what: str
    inputs: Inputs = field(repr=False)
    attempt: Attempt
    lacks: tuple[str, ...]
    stock: str
    do: tuple[str, ...]

    @property
    def verdict(self) -> Severity:
        """Worst of what is new and of what is found at its sockets."""
        return self.attempt.verdict

    @property
    def is_usable(self) -> bool:
        """Whether it neither fails nor harms."""
        return self.verdict.rank < Severity.FAILS.rank

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        gain = self.attempt.gain
        return {
            "what": self.what,
            "verdict": self.verdict.value,
            "why": self.attempt.why,
            "into": [{"address": each.address, "label": each.label} for each in self.inputs],
            "needs": list(self.attempt.needs),
            "not_in_stock": list(self.lacks),
            "gain": None if gain is None else gain.to_json(),
            "do": list(self.do),
            "edits": [edit_to_json(edit) for edit in self.attempt.edits],
            "worse_elsewhere": [each.to_json() for each in self.attempt.elsewhere],
            "findings": [each.to_json() for each in self.attempt.findings],
        }


@dataclass(frozen=True, slots=True)
class Freed:
    """What would make room, and the proposal that then held."""

    do: str
    edits: tuple[Edit, ...]
    then: Proposal

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "do": self.do,
            "edits": [edit_to_json(edit) for edit in self.edits],
            "then": self.then.to_json(),
        }


@dataclass(frozen=True, slots=True)
class Proposals:
    """Proposals, best first; without a usable one ``why_not`` says why and ``frees`` what helps."""

    asked: str
    understood: tuple[str, ...]
    proposals: tuple[Proposal, ...]
    why_not: str | None = None
    frees: tuple[Freed, ...] = ()
    not_used: tuple[Unused, ...] = ()

    @property
    def verdict(self) -> Severity:
        """That of the best; ``fails`` where there is none."""
        return self.proposals[0].verdict if self.proposals else Severity.FAILS

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "asked": self.asked,
            "understood": list(self.understood),
            "verdict": self.verdict.value,
            "proposals": [each.to_json() for each in self.proposals],
            "why_not": self.why_not,
            "frees": [each.to_json() for each in self.frees],
            "not_used": [each.to_json() for each in self.not_used],
        }


def propose_in_show(trial: Trial, from_text: str, to_text: str | None) -> Proposals:
    """What ``levelhead ask FROM [TO] --show SHOW`` answers.

    With ``to_text``, a socket of the show's own is joined, if ``from_text`` names one by its
    address or its item; anything else is one more source.

    Raises
    ------
    AskError
        The first text means nothing that makes a sound, or the second no input of the show.
    """
    first, second = read_text(from_text), None if to_text is None else read_text(to_text)
    told = _proposed(trial, first.rest, None if second is None else second.rest)
    more = () if second is None else second.conditions
    conditions = (Unused(each.words, _FOUND_OUT) for each in (*first.conditions, *more))
    asked = from_text if told.asked == first.rest else told.asked
    return replace(told, asked=asked, not_used=(*told.not_used, *conditions))


def _proposed(trial: Trial, from_text: str, to_text: str | None) -> Proposals:
    """The same of texts whose conditions were taken out."""
    rig = trial.solution.rig
    if to_text is None:
        return propose(trial, from_text)
    ports = find_ports(rig, to_text, "to")
    if not ports:
        raise AskError(
            f"no input of the show fits '{to_text}'",
            where="ask --show",
            expected="an address such as desk.ch1.mic, or an item and its socket",
            remedy="List the sockets of a type with: levelhead gear TYPE",
        )
    if from_text.partition(".")[0] in rig.items or _names_own(rig, from_text):
        joined = join(trial, from_text, to_text)
        if joined is not None:
            return joined
    told = propose(trial, from_text, to_text)
    left = (Unused(each, NOT_UNDERSTOOD) for each in unmet_words(ports[0], to_text))
    return replace(told, not_used=(*told.not_used, *left))


def _names_own(rig: Rig, text: str) -> bool:
    """Whether the words hold the whole label or id of an item."""
    asked = tokens(text)
    named = [tokens(each.label) for each in rig.items.values() if each.label]
    named += [tokens(each.replace("-", " ")) for each in rig.items]
    return any(words and words <= asked for words in named)


def propose(
    trial: Trial,
    text: str,
    into: str | None = None,
    go_on: Callable[[], None] = lambda: None,
) -> Proposals:
    """How one more source joins a show.

    Parameters
    ----------
    trial : Trial
        The show, solved.
    text : str
        A type of the gear book, or words: ``singer``, ``keyboard``.
    into : str or None
        Only these sockets of the show: an address, an item, or words for them.
    go_on : callable
        Called before each socket is tried; raises where nobody waits for the answer any more.

    Raises
    ------
    AskError
        The text means nothing that makes a sound.
    """
    meant = meanings(trial.book, text)
    chains = [each for one in meant for each in chains_for(trial.show, trial.book, one)]
    wanted = (
        None
        if into is None
        else {each.address for each in find_ports(trial.solution.rig, into, "to")}
    )
    found = _ranked(_tried(trial, chains, _places(trial.solution.rig, wanted), go_on))
    labels = tuple(trial.book.entry(each.type_id).label for each in meant)
    usable = tuple(each for each in found if each.is_usable)
    usable = tuple(each for each in usable if not each.attempt.elsewhere) or usable
    left = frozenset.intersection(*(each.unmet for each in meant))
    unused = tuple(
        Unused(typed, NOT_UNDERSTOOD) for word, typed in words_in_turn(text) if word in left
    )
    if usable:
        return Proposals(text, labels, usable[:_MOST], not_used=unused)
    return Proposals(
        text,
        labels,
        (),
        _why_not(trial.solution.rig, found, wanted),
        tuple(_freed(trial, chains)) if wanted is None else (),
        unused,
    )


def join(trial: Trial, from_text: str, to_text: str) -> Proposals | None:
    """One socket of a show into another: judged on a copy, with what sat there unplugged.

    ``None`` when a text names no socket of the show.
    """
    rig = trial.solution.rig
    starts, ends = find_ports(rig, from_text, "from"), find_ports(rig, to_text, "to")
    if not starts or not ends:
        return None
    start = starts[0]
    there = trial.show.link_at(start.address)
    asked = f"{from_text} into {to_text}"
    if there is not None and {start.address, ends[0].address} <= set(there.ends.values()):
        edits: tuple[Edit, ...] = ()
    else:
        plug = _plug(trial, Output(start.address, start.plan), ends[0], start.item.plan.kind)
        if plug is None:
            why = f"no cable of the gear book fits {start.label} and {ends[0].label}"
            return Proposals(asked, (start.label, ends[0].label), (), why)
        links = (trial.show.link_at(each) for each in (start.address, ends[0].address))
        edits = (*(Unplug(link) for link in dict.fromkeys(links) if link is not None), plug)
    attempt = attempted(trial, edits, (start.address, ends[0].address), is_new=False)
    if attempt is None:
        return Proposals(asked, (start.label, ends[0].label), (), "the plugs do not go together")
    one = _proposal(trial, f"{start.label} into {ends[0].label}", (ends[0],), attempt)
    return Proposals(asked, (start.label, ends[0].label), (one,))


# --- combining ---


def _places(rig: Rig, wanted: set[str] | None) -> list[Inputs]:
    """Free inputs, in pairs and alone."""
    every = [*free_pairs(rig), *((port,) for port in free_inputs(rig))]
    if wanted is None:
        return every
    return [each for each in every if {port.address for port in each} & wanted]


def _tried(
    trial: Trial,
    chains: Iterable[Chain],
    places: Sequence[Inputs],
    go_on: Callable[[], None] = lambda: None,
) -> Iterator[Proposal]:
    """Each chain into each kind of strip, where plugs fit and somebody hears it.

    What is fine in one socket of a strip is not tried in another one.
    """
    for chain in chains:
        done: set[tuple[str, ...]] = set()
        for inputs in places:
            go_on()
            kind = tuple(f"{port.item.id} {port.block.block}" for port in inputs)
            attempt = None if kind in done else _attempt(trial, chain, inputs)
            if attempt is None:
                continue
            if attempt.verdict is Severity.FINE and not attempt.needs:
                done.add(kind)
            yield _proposal(trial, chain.what, inputs, attempt, chain.brought)


def _attempt(trial: Trial, chain: Chain, inputs: Inputs) -> Attempt | None:
    plugs = _plugs(trial, chain, inputs)
    if plugs is None:
        return None
    ends = [end for plug in plugs for end in plug.link.ends.values()]
    return attempted(trial, (*chain.edits, *plugs, *_panned(inputs)), ends)


def _plugs(trial: Trial, chain: Chain, inputs: Inputs) -> list[Plug] | None:
    """Left to left and right to right, a stereo socket by a lead of three ends, or one to one.

    Sockets that carry different things are not tried: no switch mends that.
    """
    carried = {each.plan.carries for each in chain.outputs} | {each.plan.carries for each in inputs}
    if len(carried) > 1:
        return None
    if len(chain.outputs) == len(inputs):
        pairs = zip(chain.outputs, inputs, strict=True)
        plugs = [_plug(trial, output, port, chain.kind) for output, port in pairs]
        found = [plug for plug in plugs if plug is not None]
        return found if len(found) == len(plugs) else None
    if len(inputs) == _PAIR and len(chain.outputs[0].plan.signals) == _PAIR:
        return _fanned(trial, chain.outputs[0], inputs)
    return None


def _fanned(trial: Trial, output: Output, inputs: Inputs) -> list[Plug] | None:
    left, right = inputs
    lead = next(fans(trial.book, output.plan, left.plan, right.plan), None)
    if lead is None:
        return None
    ends = {"a": output.address, "left": left.address, "right": right.address}
    return [Plug(Link(ends, (taken(trial.show, lead.type_id, lead.usual_length_m),)))]


def _plug(trial: Trial, output: Output, port: RigPort, kind: str) -> Plug | None:
    cable = usual_cable(trial.book, output.plan, port.plan)
    if cable is None:
        return None
    length_m = _length_m(trial.solution.rig, port, kind) or cable.usual_length_m
    via: Cable = taken(trial.show, cable.type_id, length_m)
    return Plug(Link({"a": output.address, "b": port.address}, (via,)))


def _length_m(rig: Rig, port: RigPort, kind: str) -> float | None:
    """How long the leads of such gear to this item are in the show. [m]"""
    lengths = []
    for link in rig.links:
        ends = [rig.ports[each] for each in link.ports if each in rig.ports]
        if any(each.item.id == port.item.id for each in ends) and any(
            each.item.plan.kind == kind and each.item.id != port.item.id for each in ends
        ):
            lengths.append(sum(segment.length_m for segment in link.segments))
    return median(lengths) if lengths else None


def _panned(inputs: Inputs) -> Iterator[Set]:
    """Left and right on two strips stand left and right."""
    if len(inputs) == _PAIR and inputs[0].block.name != inputs[1].block.name:
        for port, side in zip(inputs, ("left", "right"), strict=True):
            for name, control in port.block.plan.controls.items():
                if control.kind == "pan":
                    yield Set(port.sibling(name), side)


# --- telling ---


def _proposal(
    trial: Trial, what: str, inputs: Inputs, attempt: Attempt, brought: Sequence[Edit] = ()
) -> Proposal:
    """``brought`` is what comes along with who plays it, and is looked for in no stock."""
    show = trial.show
    needed = [edit for edit in attempt.edits if edit not in brought]
    return Proposal(
        what,
        inputs,
        attempt,
        lacking(show, needed),
        stock_words(show, needed),
        tuple(sentence(edit, show) for edit in attempt.edits),
    )


def _ranked(found: Iterable[Proposal]) -> list[Proposal]:
    """Usable first, then what leaves the rest alone, what is there, the verdict, little to do.

    Of one chain other inputs stay only where they are as good as its best.
    """

    def key(each: Proposal) -> tuple[bool, bool, int, int, int]:
        attempt = each.attempt
        rank = each.verdict.rank
        return (
            not each.is_usable,
            bool(attempt.elsewhere),
            len(each.lacks),
            rank,
            len(attempt.needs),
        )

    best: dict[str, int] = {}
    return [
        each
        for each in sorted(found, key=key)
        if each.verdict.rank <= best.setdefault(each.what, each.verdict.rank)
    ]


def _why_not(rig: Rig, found: Sequence[Proposal], wanted: set[str] | None) -> str:
    places = _places(rig, wanted)
    if not places:
        where = "" if wanted is None else " of those asked for"
        return f"Does not fit, because no input{where} is free."
    if not found:
        free = ", ".join(dict.fromkeys(port.address for each in places for port in each))
        return f"Does not fit, because nothing goes from it into what is free ({free})."
    best = found[0]
    return (
        f"Does not fit, because {best.what} into {best.inputs[0].address}, the best that is free, "
        f"{best.verdict.value}: {best.attempt.why}"
    )


def _freed(trial: Trial, chains: Sequence[Chain]) -> Iterator[Freed]:
    """What could be left out for it, the least needed first; each was tried."""
    found = 0
    for taken_ in occupied(trial.solution.rig):
        edits = tuple(Unplug(link) for link in taken_.links)
        base = trial.after(edits)
        if base is None or found == _MOST_FREED:
            continue
        freed = {port.address for port in taken_.ports}
        places = _places(base.solution.rig, freed)
        best = _ranked(_tried(base, chains[:_PAIR], places))[:1]
        if best and best[0].is_usable:
            found += 1
            nice = ", which is only nice to have" if taken_.is_nice else ""
            yield Freed(f"Leave out {taken_.called}{nice}", edits, best[0])
