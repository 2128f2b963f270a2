"""All rules over one solution: findings in order, a verdict for each link and for the whole."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from levelhead.chain.solution import Solution
from levelhead.verdicts.air.rules import AIR_RULES
from levelhead.verdicts.amplifiers.rules import LOUDSPEAKER_RULES
from levelhead.verdicts.consequences import may_be_hidden, that_matter
from levelhead.verdicts.enough.clipping import check_clipping_as_set
from levelhead.verdicts.enough.first_stages import check_first_stages
from levelhead.verdicts.enough.gain import (
    check_gain_is_enough,
    check_set_too_low,
)
from levelhead.verdicts.enough.limiters import check_limiters
from levelhead.verdicts.enough.lowest_gain import check_lowest_gain
from levelhead.verdicts.enough.noise import check_hiss, check_noise
from levelhead.verdicts.enough.straight import check_straight_into_loudspeakers
from levelhead.verdicts.enough.volume import check_volume
from levelhead.verdicts.harm.direct import check_direct_current
from levelhead.verdicts.harm.level import check_level_harm
from levelhead.verdicts.harm.lines import check_strange_lines
from levelhead.verdicts.harm.needed_loads import check_loads
from levelhead.verdicts.harm.outputs import check_driven_terminals
from levelhead.verdicts.harm.power import check_loudspeakers_have_an_amplifier, check_power
from levelhead.verdicts.hum.beside import check_beside
from levelhead.verdicts.hum.heard import check_hum
from levelhead.verdicts.hum.near import check_near
from levelhead.verdicts.people.rules import PEOPLE_RULES
from levelhead.verdicts.phantom.arrives import check_phantom_reaches
from levelhead.verdicts.phantom.way import (
    check_both_legs_feed,
    check_legs_lead_somewhere,
    check_supply_is_enough,
    check_what_lives_on_its_battery,
)
from levelhead.verdicts.read.kept import Kept
from levelhead.verdicts.read.places import ByPlace
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.routing.rules import ROUTING_RULES
from levelhead.verdicts.told.finding import Finding, Severity, worst
from levelhead.verdicts.wiring.fit import check_plugs_fit
from levelhead.verdicts.wiring.rules import CONNECTION_RULES

__all__ = ["RULES", "Found", "Judgement", "LinkVerdict", "judge", "judge_found"]

Rule = Callable[[Reading], Iterable[Finding]]

RULES: Final[tuple[Rule, ...]] = (
    check_level_harm,
    check_driven_terminals,
    check_loads,
    check_strange_lines,
    check_power,
    check_loudspeakers_have_an_amplifier,
    check_phantom_reaches,
    check_direct_current,
    check_both_legs_feed,
    check_legs_lead_somewhere,
    check_supply_is_enough,
    check_what_lives_on_its_battery,
    check_plugs_fit,
    *CONNECTION_RULES,
    check_gain_is_enough,
    check_lowest_gain,
    check_clipping_as_set,
    check_limiters,
    check_first_stages,
    check_set_too_low,
    check_noise,
    check_hiss,
    check_volume,
    check_straight_into_loudspeakers,
    *ROUTING_RULES,
    check_hum,
    check_beside,
    check_near,
    *PEOPLE_RULES,
    *LOUDSPEAKER_RULES,
    *AIR_RULES,
)


@dataclass(frozen=True, eq=False)
class Found:
    """What the rules find in one reading; each rule is asked once, when somebody wants to know.

    ``kept`` is what was told before of places, and what is told now; ``tellers`` are the rules that
    told of trouble after any edit of the same show, the last one first.
    """

    reading: Reading
    kept: Kept = field(default_factory=Kept)
    tellers: list[Rule] = field(default_factory=list)
    _by_rule: dict[Rule, tuple[Finding, ...]] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"Found({self.reading!r}, {len(self._by_rule)} rules asked)"

    def by(self, rule: Rule) -> tuple[Finding, ...]:
        """Findings of one rule."""
        if rule not in self._by_rule:
            self._by_rule[rule] = tuple(self._asked(rule))
        return self._by_rule[rule]

    def _asked(self, rule: Rule) -> Iterator[Finding]:
        """A rule asked; one that judges place by place only for the places that have changed."""
        if not isinstance(rule, ByPlace):
            yield from rule(self.reading)
            return
        kept = self.kept.by_rule
        kept[rule] = rule.judged(self.reading, kept.get(rule, {}))
        for told in kept[rule].values():
            yield from told.findings

    def at(self, rule: Rule, where: str) -> Iterable[Finding]:
        """Findings of one rule at one address, the others left alone where the rule may."""
        if isinstance(rule, ByPlace) and rule not in self._by_rule:
            return rule.found_at(self.reading, where)
        return (each for each in self.by(rule) if each.where == where)

    def worse_than(self, known: Mapping[tuple[str, str], int], rank: int) -> bool:
        """Whether something as bad as a severity of this rank is new, or not as bad in ``known``.

        Most edits that bring trouble bring the same, so whoever told of it last is asked first, and
        no other when that one tells. What another finding may hide (``consequences``) does not
        count here.
        """
        for rule in dict.fromkeys((*self.tellers, *RULES)):
            if any(
                known.get(each.key, 0) < each.severity.rank and not may_be_hidden(each)
                for each in self.by(rule)
                if each.severity.rank >= rank
            ):
                self.tellers[:] = [rule, *(each for each in self.tellers if each is not rule)]
                return True
        return False


@dataclass(frozen=True, slots=True)
class LinkVerdict:
    """Worst severity of the findings that touch a link."""

    from_: str
    to: str
    verdict: Severity


@dataclass(frozen=True)
class Judgement:
    """What the rules found in one solution, worst first."""

    reading: Reading
    findings: tuple[Finding, ...]
    rules: Mapping[str, Rule]  # that found something, by the code of what they found
    kept: Kept

    def __repr__(self) -> str:
        return f"Judgement({self.verdict.value}, {len(self.findings)} findings, {self.reading!r})"

    @property
    def verdict(self) -> Severity:
        """Worst severity of all."""
        return worst(finding.severity for finding in self.findings)

    @cached_property
    def links(self) -> tuple[LinkVerdict, ...]:
        """Every link with its verdict."""
        return tuple(_links(self.reading.solution, self.findings))

    def worse_than_fine(self) -> tuple[Finding, ...]:
        """Findings that somebody would act on."""
        return self._worse_than_fine

    @cached_property
    def _worse_than_fine(self) -> tuple[Finding, ...]:
        return tuple(each for each in self.findings if each.severity is not Severity.FINE)

    def links_to_json(self) -> list[dict[str, Any]]:
        """Each link with its verdict."""
        return [
            {"from": link.from_, "to": link.to, "verdict": link.verdict.value}
            for link in self.links
        ]


def judge(solution: Solution, before: Judgement | None = None) -> Judgement:
    """Apply every rule. Findings do not depend on the order of items in the show.

    What the judgement ``before`` an edit found is taken from there as far as it still holds.
    """
    if before is None:
        return judge_found(Found(Reading.of(solution)))
    return judge_found(Found(Reading.of(solution, before.reading), before.kept.after()))


def judge_found(by_rule: Found) -> Judgement:
    """Apply every rule that was not asked yet."""
    reading = by_rule.reading
    found = [(finding, rule) for rule in RULES for finding in by_rule.by(rule)]
    findings = sorted(that_matter(reading, [finding for finding, _ in found]), key=_order)
    return Judgement(
        reading,
        tuple(findings),
        {finding.code: rule for finding, rule in found},
        by_rule.kept,
    )


def _order(finding: Finding) -> tuple[int, float, str, str]:
    margin = 0.0 if finding.margin is None else finding.margin
    return (-finding.severity.rank, margin, finding.code, finding.where)


def _links(solution: Solution, findings: Iterable[Finding]) -> Iterator[LinkVerdict]:
    by_port: dict[str, list[Severity]] = {}
    for finding in findings:
        for port in finding.ports:
            by_port.setdefault(port, []).append(finding.severity)
    for link in solution.rig.show.links:
        first, *others = link.ends.values()
        for other in others:
            touched = [*by_port.get(first, []), *by_port.get(other, [])]
            yield LinkVerdict(first, other, worst(touched))
