"""The words for the closed lists: standings, outcomes, authorities, causes, and what a signature says."""

from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from competencies.vocabulary import (
    AnnulmentCause,
    AuthorityKind,
    CheckCause,
    ConflictCause,
    CorrectionCause,
    Criticality,
    DoubtCause,
    Judgement,
    Meaning,
    Outcome,
    SecondRole,
    Standing,
)

Text = str | Promise
STANDINGS: Mapping[Standing, Text] = {
    Standing.NOT_STARTED: _("not started"),
    Standing.LEARNING: _("learning"),
    Standing.READY: _("ready for assessment"),
    Standing.AWAITING_SIGNATURE: _("awaiting second signature"),
    Standing.AWAITING_REVISION: _("awaiting the new revision"),
    Standing.IN_FORCE: _("in force"),
    Standing.RENEWAL_DUE: _("renewal due"),
    Standing.IN_GRACE: _("in grace"),
    Standing.LAPSED: _("lapsed"),
    Standing.OUT_OF_REVISION: _("new revision to learn"),
    Standing.STALE: _("stale"),
    Standing.SUSPENDED: _("suspended"),
    Standing.WITHDRAWN: _("withdrawn"),
    Standing.UNDER_REVIEW: _("under review"),
    Standing.BLOCKED: _("blocked"),
    Standing.RESTRICTED: _("restricted by age"),
}
# A sign of two letters for a cell of the matrix; it never stands without its shape, and a list of words beside it.
STANDING_SIGNS: Mapping[Standing, Text] = {
    Standing.NOT_STARTED: pgettext_lazy("sign of not started", "–"),
    Standing.LEARNING: pgettext_lazy("sign of learning", "Le"),
    Standing.READY: pgettext_lazy("sign of ready for assessment", "Rd"),
    Standing.AWAITING_SIGNATURE: pgettext_lazy("sign of awaiting second signature", "Sg"),
    Standing.AWAITING_REVISION: pgettext_lazy("sign of awaiting the new revision", "Aw"),
    Standing.IN_FORCE: pgettext_lazy("sign of in force", "In"),
    Standing.RENEWAL_DUE: pgettext_lazy("sign of renewal due", "Du"),
    Standing.IN_GRACE: pgettext_lazy("sign of in grace", "Gr"),
    Standing.LAPSED: pgettext_lazy("sign of lapsed", "La"),
    Standing.OUT_OF_REVISION: pgettext_lazy("sign of out of revision", "Ou"),
    Standing.STALE: pgettext_lazy("sign of stale", "St"),
    Standing.SUSPENDED: pgettext_lazy("sign of suspended", "Su"),
    Standing.WITHDRAWN: pgettext_lazy("sign of withdrawn", "Wi"),
    Standing.UNDER_REVIEW: pgettext_lazy("sign of under review", "Ur"),
    Standing.BLOCKED: pgettext_lazy("sign of blocked", "Bl"),
    Standing.RESTRICTED: pgettext_lazy("sign of restricted by age", "Ag"),
}
CRITICALITIES: Mapping[Criticality, Text] = {
    Criticality.NONE: _("not critical"),
    Criticality.FOOD: _("critical for food safety"),
    Criticality.SAFETY: _("critical for people's safety"),
    Criticality.BOTH: _("critical for food safety and people's safety"),
}
JUDGEMENTS: Mapping[Judgement, Text] = {
    Judgement.MET: _("met"),
    Judgement.NOT_MET: _("not met"),
    Judgement.NOT_SEEN: _("not seen"),
}
CORRECTION_CAUSES: Mapping[CorrectionCause, Text] = {
    CorrectionCause.WRONG_PERSON: _("wrong person"),
    CorrectionCause.WRONG_TASK: _("wrong task"),
    CorrectionCause.WRONG_SCOPE: _("wrong line or machine"),
    CorrectionCause.WRONG_DATE: _("wrong date"),
    CorrectionCause.DOUBLE_ENTRY: _("entered twice"),
    CorrectionCause.ENTERED_IN_ERROR: _("entered in error"),
}
OUTCOMES: Mapping[Outcome, Text] = {
    Outcome.COMPETENT: _("competent"),
    Outcome.NOT_YET_COMPETENT: _("not yet competent"),
}
AUTHORITIES: Mapping[AuthorityKind, Text] = {
    AuthorityKind.TRAIN: _("trainer"),
    AuthorityKind.ASSESS: _("assessor"),
    AuthorityKind.SIGN_FOOD: _("second signatory, food"),
    AuthorityKind.SIGN_SAFETY: _("second signatory, safety"),
    AuthorityKind.SUPERVISE: _("line or shift supervisor"),
    AuthorityKind.COORDINATE: _("training coordinator"),
    AuthorityKind.AUDIT: _("auditor"),
}
# The roles behind a second signature, as the refusals name them.
SECOND_ROLES: Mapping[SecondRole, Text] = {
    SecondRole.FOOD: AUTHORITIES[AuthorityKind.SIGN_FOOD],
    SecondRole.SAFETY: AUTHORITIES[AuthorityKind.SIGN_SAFETY],
}

CHECK_CAUSES: Mapping[CheckCause, Text] = {
    CheckCause.ACCIDENT: _("an accident"),
    CheckCause.NEAR_MISS: _("a near miss"),
    CheckCause.SEEN_UNSAFE: _("seen working unsafely"),
    CheckCause.CHANGED_MACHINE: _("a changed machine or layout"),
    CheckCause.OCCASIONAL_USER: _("does the task only now and then"),
}
ANNULMENT_CAUSES: Mapping[AnnulmentCause, Text] = {
    AnnulmentCause.NOT_ENTITLED: _("the assessor was not entitled on that day"),
    AnnulmentCause.FALSE_EVIDENCE: _("the evidence is false"),
}
DOUBT_CAUSES: Mapping[DoubtCause, Text] = {
    DoubtCause.SAME_ASSESSOR: _("by the same assessor, on or after the first day in doubt"),
    DoubtCause.JUDGED_UNDER_IT: _("assessed by the holder of the annulled sign-off"),
    DoubtCause.WATCHED_UNDER_IT: _("rests on runs watched by the holder of the annulled sign-off"),
    DoubtCause.IN_QUESTION: _("put under review by itself"),
    DoubtCause.UNIT_DISPUTED: _("a moderator disagreed with a unit that rests on it"),
}
CONFLICT_CAUSES: Mapping[ConflictCause, Text] = {
    ConflictCause.FAMILY: _("family"),
    ConflictCause.HOUSEHOLD: _("same household"),
    ConflictCause.GAIN: _("gains from the result"),
}
# What a signature says, in the words that are shown when it is asked for.
MEANINGS: Mapping[Meaning, Text] = {
    Meaning.CARRIED_OUT: _("I carried this out under supervision"),
    Meaning.SUPERVISED: _("I watched this and confirm it"),
    Meaning.COMPETENT: _("I observed the performance and judge it competent"),
    Meaning.NOT_YET_COMPETENT: _("I observed the performance and judge it not yet competent"),
    Meaning.REVIEWED: _("I have checked the record and sign it as the second person"),
    Meaning.READ_AND_UNDERSTOOD: _("I have read and understood this revision"),
    Meaning.SUSPENDED: _("I suspend this sign-off while something is looked into"),
    Meaning.REINSTATED: _("I lift this suspension"),
    Meaning.WITHDRAWN: _("I withdraw this sign-off for cause"),
    Meaning.CHECK_ASKED: _("I ask for an extra check before this person goes on"),
    Meaning.ANNULLED: _("I annul this sign-off: it was never in force"),
    Meaning.DOUBTED: _("I put this sign-off under review"),
    Meaning.STANDS: _("I looked at this again, and the sign-off stands"),
    Meaning.ATTEMPTS_REVIEWED: _("I have reviewed the attempts; another one may be made"),
    Meaning.OUTCOME_SEEN: _("I have seen the outcome of this assessment"),
    Meaning.APPEALED: _("I appeal against this assessment"),
    Meaning.CONFLICT: _("I declare this conflict of interest"),
    Meaning.RECOGNISED: _("I judge this evidence from elsewhere adequate"),
    Meaning.ENTERED_IN_ERROR: _("I say that this entry was made in error"),
    Meaning.ENTERED_INSTEAD: _("I enter this in place of an entry that was wrong"),
    Meaning.ADMINISTERED: _("I entered this for the plant"),
    Meaning.UNIT_ACHIEVED: _("I have looked at the evidence and decide that this unit standard is achieved"),
    Meaning.MODERATED: _("I give this decision on a unit standard as it was moderated"),
}
