"""The acts that follow a sign-off: review, re-verification, a check owed, attempts reviewed, a conflict declared."""

from collections.abc import Mapping, Sequence

from django.http import Http404
from django.utils.translation import gettext_lazy as _

from competencies.forms import second_looks as forms
from competencies.forms.people import ReasonForm
from competencies.models import Person
from competencies.operations import annulments, conflicts, outcomes
from competencies.permissions import may_annul, may_assess, may_declare_conflict, may_owe_check
from competencies.standing.entitlement import Refusal
from competencies.standing.facts import Assessment
from competencies.standing.timeline import Period
from competencies.views.doing import Act, Doing
from competencies.vocabulary import CheckCause, ConflictCause


def _is_held(period: Period) -> bool:
    return period.revision is not None


def _is_doubted(period: Period) -> bool:
    return any(reason.code == "under_review" for reason in period.reasons)


def _is_not_yet_competent(period: Period) -> bool:
    return any(reason.code == "not_yet_competent" for reason in period.reasons)


def _signoff(doing: Doing) -> Assessment:
    fact = doing.entry().fact
    if not isinstance(fact, Assessment):
        raise Http404
    return fact


def _doubt(doing: Doing) -> object:
    return annulments.put_under_review(
        signoff=_signoff(doing), holder=doing.person, by=doing.signer, when=doing.when, reason=doing.given["reason"]
    )


def _verify(doing: Doing) -> object:
    return annulments.reverify(
        signoff=_signoff(doing), holder=doing.person, by=doing.signer, when=doing.when, reason=doing.given["reason"]
    )


def _verify_against(doing: Doing) -> Sequence[Refusal]:
    """Return what stands against looking again at the sign-off that the address names, or at the newest."""
    found = [each.fact for each in forms.doubted_signoffs(doing.entries) if isinstance(each.fact, Assessment)]
    wanted = str(doing.given.get("entry") or "")
    chosen = next((fact for fact in found if str(fact.seq) == wanted), found[0] if found else None)
    if chosen is None:
        return ()
    return annulments.reverification_refusals(signoff=chosen, holder=doing.person, by=doing.signer, when=doing.when)


def _owe(doing: Doing) -> object:
    return outcomes.owe_check(
        on_task=doing.place,
        cause=CheckCause(doing.given["cause"]),
        by=doing.signer,
        when=doing.when,
        reason=doing.given["reason"],
    )


def _owe_against(doing: Doing) -> Sequence[Refusal]:
    return outcomes.check_refusals(on_task=doing.place, by=doing.signer, when=doing.when)


def _review_attempts(doing: Doing) -> object:
    return outcomes.review_attempts(
        on_task=doing.place, by=doing.signer, when=doing.when, reason=doing.given["reason"]
    )


def _attempts_against(doing: Doing) -> Sequence[Refusal]:
    return outcomes.attempts_refusals(on_task=doing.place, by=doing.signer, when=doing.when)


def _declare(doing: Doing) -> object:
    given = doing.given
    other: Person = given["other"]
    declared = conflicts.Declared(
        other=other, cause=ConflictCause(given["cause"]), from_on=given["from_on"], until_on=given["until_on"]
    )
    return conflicts.declare_conflict(person=doing.person, declared=declared, by=doing.signer, when=doing.when)


ANNUL = "annul"
SECOND_LOOKS: Mapping[str, Act] = {
    # The page of an annulment is its own (views/annulments.py): it shows first what goes under review.
    ANNUL: Act(
        _("Annul a sign-off"),
        _("It was never in force, as known from now on. What it leaves doubtful goes under review in the same act."),
        forms.AnnulForm,
        may_annul,
        _doubt,
        _is_held,
    ),
    "review": Act(
        _("Put a sign-off under review"),
        _("On a critical task it stops counting now, on another after the days of the plant's settings."),
        forms.SignOffForm,
        may_annul,
        _doubt,
        _is_held,
    ),
    "reverify": Act(
        _("Look at a sign-off again"),
        _("You have looked at the evidence or the performance yourself, and the sign-off stands."),
        forms.VerifyForm,
        may_assess,
        _verify,
        _is_doubted,
        _verify_against,
    ),
    "owe-check": Act(
        _("Ask for an extra check"),
        _("On a critical task the person stops until the check is passed; on another it is flagged."),
        forms.OweCheckForm,
        may_owe_check,
        _owe,
        _is_held,
        _owe_against,
    ),
    "review-attempts": Act(
        _("Review the attempts"),
        _("After three “not yet competent” in a row you look at what was taught and judged; then another may follow."),
        ReasonForm,
        may_annul,
        _review_attempts,
        _is_not_yet_competent,
        _attempts_against,
    ),
}
CONFLICT_ACT = Act(
    _("Declare a conflict of interest"),
    _("Family, the same household, or a gain from the result: from that day neither of the two assesses the other."),
    forms.ConflictForm,
    may_declare_conflict,
    _declare,
)
