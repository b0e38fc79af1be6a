"""Plays decisions on unit standards, their reports and moderation, and enrolments."""

from django.db.models import Q

from competencies.ledger.writer import Appended
from competencies.models import Qualification, UnitStandard
from competencies.operations import moderation, pathways
from competencies.queries.facts import rule_of
from competencies.standing import facts
from competencies.stories.player.playing import MissingEntryError, Play
from competencies.stories.player.told import done_by, entry_told, person_of, person_told, reason_told, when_told
from competencies.stories.story import StoryEvent


def play_unit_decision(playing: Play, event: StoryEvent) -> Appended:
    """Decide that a unit standard is achieved."""
    unit = _unit(playing, event)
    return pathways.decide_unit(
        person=person_told(playing, event),
        result=pathways.UnitResult(unit=unit, elsewhere=event.section.flag("elsewhere")),
        assessor=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
    )


def _unit(playing: Play, event: StoryEvent) -> UnitStandard:
    """Return the unit version that an event names, else the newest that is open on its day, else the newest."""
    code = event.section.text("unit", longest=20, required=True)
    versions = UnitStandard.objects.filter(plant=playing.ground.plant, code=code).order_by("-version")
    version = event.section.whole_or_none("version", low=1, high=99)
    if version is not None:
        versions = versions.filter(version=version)
    begun = Q(first_date_for_assessment=None) | Q(first_date_for_assessment__lte=event.on)
    going = Q(last_date_for_assessment=None) | Q(last_date_for_assessment__gte=event.on)
    found = versions.filter(begun & going).first() or versions.first()
    if found is None:
        raise MissingEntryError
    return found


def play_unit_reported(playing: Play, event: StoryEvent) -> Appended:
    """Report a decision to the training body."""
    decision = _decision(playing, event)
    return moderation.report_unit(
        person=person_of(playing, decision),
        decision=decision.seq,
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
    )


def play_moderation(playing: Play, event: StoryEvent) -> Appended:
    """Write down what a moderator said of a decision."""
    section, decision = event.section, _decision(playing, event)
    return moderation.moderate_unit(
        person=person_of(playing, decision),
        decision=decision.seq,
        opinion=moderation.Opinion(
            agrees=section.flag("agrees"),
            reason=reason_told(event),
            moderator=section.text("moderator", longest=80) or "the moderator",
        ),
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
    )


def _decision(playing: Play, event: StoryEvent) -> facts.UnitDecision:
    """Return the decision that an event is about: the one named, or the newest of the person's on the unit."""
    section = event.section
    if section.has("of"):
        named = entry_told(playing, event)
        if isinstance(named, facts.UnitDecision):
            return named
        raise MissingEntryError
    code, version = section.text("unit", longest=20), section.whole_or_none("version", low=1, high=99)
    known = rule_of(person_told(playing, event)).unit_decisions
    fitting = [fact for fact in known if fact.unit == code and version in {None, fact.version}]
    if not fitting:
        raise MissingEntryError
    return fitting[-1]


def play_enrolment(playing: Play, event: StoryEvent) -> None:
    """Enrol a person on a version of a pathway."""
    code = event.section.text("pathway", longest=20, required=True)
    versions = Qualification.objects.filter(plant=playing.ground.plant, code=code).order_by("-version")
    version = event.section.whole_or_none("version", low=1, high=99)
    found = versions.filter(version=version).first() if version else versions.first()
    if found is None:
        raise MissingEntryError
    pathways.enrol(
        person=person_told(playing, event),
        qualification=found,
        by=playing.ground.signer(done_by(playing, event)),
        when=when_told(event),
    )
