"""Entries of the ledger in words: what kind, of when."""

from django import template
from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from competencies.ledger.reading import KINDS as FACT_KINDS
from competencies.queries.person_task import Entry
from competencies.standing.facts import Fact
from competencies.standing.refusals import AuthorityGrant
from competencies.vocabulary import AuthorityKind, ConflictCause, CorrectionCause, DoubtCause, EntryKind
from competencies.wording import AUTHORITIES, CONFLICT_CAUSES, CORRECTION_CAUSES, DOUBT_CAUSES

register = template.Library()

KINDS: dict[EntryKind, Promise] = {
    EntryKind.RUN: _("supervised run"),
    EntryKind.RUN_ACCEPTED: _("late run accepted"),
    EntryKind.CHECK: _("calculation check"),
    EntryKind.ASSESSMENT: _("assessment"),
    EntryKind.SECOND_SIGNATURE: _("second signature"),
    EntryKind.ACKNOWLEDGEMENT: _("revision acknowledged"),
    EntryKind.RECOGNITION: _("prior competence recognised"),
    EntryKind.PERFORMANCE: _("work done"),
    EntryKind.SUSPENSION: _("suspension"),
    EntryKind.LIFTING: _("suspension lifted"),
    EntryKind.WITHDRAWAL: _("withdrawal"),
    EntryKind.CHECK_OWED: _("extra check owed"),
    EntryKind.ANNULMENT: _("annulment"),
    EntryKind.REVIEW: _("sign-off under review"),
    EntryKind.REVERIFICATION: _("sign-off looked at again"),
    EntryKind.CORRECTION: _("correction"),
    EntryKind.ATTEMPTS_REVIEWED: _("attempts reviewed"),
    EntryKind.OUTCOME_SEEN: _("outcome seen"),
    EntryKind.APPEAL: _("appeal"),
    EntryKind.CONFLICT: _("conflict of interest declared"),
    EntryKind.EMPLOYMENT: _("employment"),
    EntryKind.PEOPLE_JOINED: _("two records joined"),
    EntryKind.PEOPLE_PARTED: _("a record parted"),
    EntryKind.RENAMED: _("name changed"),
    EntryKind.ABSENCE: _("long absence"),
    EntryKind.AUTHORITY: _("authority granted"),
    EntryKind.AUTHORITY_ENDED: _("authority ended"),
    EntryKind.INITIAL_TRAINER: _("initial trainer named"),
    EntryKind.REVISION: _("revision of a procedure"),
    EntryKind.RECLASSIFICATION: _("class of a revision changed"),
    EntryKind.TERMS: _("terms of a task"),
    EntryKind.POLICY: _("settings of the plant"),
    EntryKind.ENROLMENT: _("enrolment on a pathway"),
    EntryKind.UNIT_DECISION: _("unit standard decided"),
    EntryKind.UNIT_REPORTED: _("unit standard reported"),
    EntryKind.MODERATION: _("unit standard moderated"),
    EntryKind.HOLD: _("legal hold"),
    EntryKind.HOLD_ENDED: _("legal hold ended"),
    EntryKind.ERASURE: _("erasure"),
}


@register.filter
def kind_words(kind: str) -> str:
    """Return what kind of entry it is."""
    return capfirst(str(KINDS[EntryKind(kind)]))


@register.filter
def grant_words(grant: AuthorityGrant) -> str:
    """Return what somebody is entrusted with, and where."""
    return str(AUTHORITIES[AuthorityKind(grant.kind)]) + (f", {grant.area}" if grant.area else "")


@register.filter
def authority_words(kind: str) -> str:
    """Return what an authority is."""
    return capfirst(str(AUTHORITIES[AuthorityKind(kind)]))


def entry_label(entry: Entry) -> str:
    """Return kind, day and place of an entry, to choose it by."""
    return f"{kind_words(entry.kind)}, {date_format(entry.fact.on, 'j M Y')} (#{entry.fact.seq})"


@register.filter
def doubt_words(cause: str) -> str:
    """Return why a sign-off is under review; nothing for a cause that has no words."""
    return capfirst(str(DOUBT_CAUSES[DoubtCause(cause)])) if cause in set(DoubtCause) else ""


@register.filter
def conflict_words(cause: str) -> str:
    """Return why two people may not judge each other."""
    return str(CONFLICT_CAUSES[ConflictCause(cause)])


def fact_label(fact: Fact) -> str:
    """Return kind, day and place of what an entry tells, to choose it by."""
    return f"{kind_words(FACT_KINDS[type(fact)])}, {date_format(fact.on, 'j M Y')} (#{fact.seq})"


@register.filter
def fact_words(fact: Fact) -> str:
    """Return kind and day of what an entry tells."""
    return f"{kind_words(FACT_KINDS[type(fact)])}, {date_format(fact.on, 'j F Y')}"


@register.filter
def cause_words(cause: str) -> str:
    """Return what was wrong with a corrected entry; "" where that was not said."""
    return str(CORRECTION_CAUSES[CorrectionCause(cause)]) if cause in set(CorrectionCause) else ""
