"""The words of the trade as closed lists: everything else names things by these.

Pure: no Django here, so that the rule and the importers can share the words.
"""

from enum import StrEnum


class Criticality(StrEnum):
    """What a mistake at the task can harm; it decides how many people sign."""

    NONE = "none"
    FOOD = "food"
    SAFETY = "safety"
    BOTH = "both"

    @property
    def is_critical(self) -> bool:
        """Whether a second signature is asked for."""
        return self is not Criticality.NONE

    @property
    def second_roles(self) -> frozenset["SecondRole"]:
        """Return the roles that must stand behind the second signature."""
        roles = {
            Criticality.NONE: frozenset[SecondRole](),
            Criticality.FOOD: frozenset({SecondRole.FOOD}),
            Criticality.SAFETY: frozenset({SecondRole.SAFETY}),
            Criticality.BOTH: frozenset({SecondRole.FOOD, SecondRole.SAFETY}),
        }
        return roles[self]


class SecondRole(StrEnum):
    """The role behind a second signature."""

    FOOD = "food"
    SAFETY = "safety"


class YoungWorker(StrEnum):
    """What a person under the task's age may do at it."""

    OPEN = "open"
    TRAINING_ONLY = "training_only"
    CLOSED = "closed"


class ScopeKind(StrEnum):
    """What one sign-off serves."""

    SITE = "site"
    LINE = "line"
    MACHINE = "machine"


class CoverRuleKind(StrEnum):
    """What is declared about the stations of a line."""

    COMBINABLE = "combinable"
    NEIGHBOURS = "neighbours"
    GROUP = "group"
    RELIEF = "relief"


class ChangeClass(StrEnum):
    """How far a revision of a procedure reaches."""

    MINOR = "minor"
    MAJOR = "major"


class Judgement(StrEnum):
    """What an assessor saw of one criterion."""

    MET = "met"
    NOT_MET = "not_met"
    NOT_SEEN = "not_seen"


class CheckCause(StrEnum):
    """Why an extra check is owed at once, whatever the date (R3.7)."""

    ACCIDENT = "accident"
    NEAR_MISS = "near_miss"
    SEEN_UNSAFE = "seen_unsafe"
    CHANGED_MACHINE = "changed_machine"
    OCCASIONAL_USER = "occasional_user"


class AnnulmentCause(StrEnum):
    """Why a sign-off is annulled (R6.4)."""

    NOT_ENTITLED = "not_entitled"
    FALSE_EVIDENCE = "false_evidence"


class DoubtCause(StrEnum):
    """Why a sign-off is under review (R6.4)."""

    SAME_ASSESSOR = "same_assessor"
    JUDGED_UNDER_IT = "judged_under_it"
    WATCHED_UNDER_IT = "watched_under_it"
    IN_QUESTION = "in_question"
    UNIT_DISPUTED = "unit_disputed"


class ConflictCause(StrEnum):
    """Why one person may not judge another (R2.2)."""

    FAMILY = "family"
    HOUSEHOLD = "household"
    GAIN = "gain"


class CorrectionCause(StrEnum):
    """What was wrong with a corrected entry (R7)."""

    WRONG_PERSON = "wrong_person"
    WRONG_TASK = "wrong_task"
    WRONG_SCOPE = "wrong_scope"
    WRONG_DATE = "wrong_date"
    DOUBLE_ENTRY = "double_entry"
    ENTERED_IN_ERROR = "entered_in_error"


class Outcome(StrEnum):
    """The decision of an assessment."""

    COMPETENT = "competent"
    NOT_YET_COMPETENT = "not_yet_competent"


class Standing(StrEnum):
    """Where a person stands on a task at a moment: always derived, never kept as truth."""

    NOT_STARTED = "not_started"
    LEARNING = "learning"
    READY = "ready"
    AWAITING_SIGNATURE = "awaiting_signature"
    AWAITING_REVISION = "awaiting_revision"
    IN_FORCE = "in_force"
    RENEWAL_DUE = "renewal_due"
    IN_GRACE = "in_grace"
    LAPSED = "lapsed"
    OUT_OF_REVISION = "out_of_revision"
    STALE = "stale"
    SUSPENDED = "suspended"
    WITHDRAWN = "withdrawn"
    UNDER_REVIEW = "under_review"
    BLOCKED = "blocked"
    RESTRICTED = "restricted"

    @property
    def is_in_force(self) -> bool:
        """Whether the sign-off holds (it may still not count for cover, for age or employment)."""
        return self in {Standing.IN_FORCE, Standing.RENEWAL_DUE, Standing.IN_GRACE}


class AuthorityKind(StrEnum):
    """What a person may be entrusted with, from a day to a day, in an area or the whole plant."""

    TRAIN = "train"
    ASSESS = "assess"
    SIGN_FOOD = "sign_food"
    SIGN_SAFETY = "sign_safety"
    SUPERVISE = "supervise"
    COORDINATE = "coordinate"
    AUDIT = "audit"


class EntryKind(StrEnum):
    """The kinds of ledger entry. A new kind is added here and in `standing.facts`."""

    RUN = "run"
    RUN_ACCEPTED = "run_accepted"
    CHECK = "check"
    ASSESSMENT = "assessment"
    SECOND_SIGNATURE = "second_signature"
    ACKNOWLEDGEMENT = "acknowledgement"
    RECOGNITION = "recognition"
    PERFORMANCE = "performance"
    SUSPENSION = "suspension"
    LIFTING = "lifting"
    WITHDRAWAL = "withdrawal"
    CHECK_OWED = "check_owed"
    ANNULMENT = "annulment"
    REVIEW = "review"
    REVERIFICATION = "reverification"
    CORRECTION = "correction"
    ATTEMPTS_REVIEWED = "attempts_reviewed"
    OUTCOME_SEEN = "outcome_seen"
    APPEAL = "appeal"
    CONFLICT = "conflict"
    EMPLOYMENT = "employment"
    PEOPLE_JOINED = "people_joined"
    PEOPLE_PARTED = "people_parted"
    RENAMED = "renamed"
    ABSENCE = "absence"
    AUTHORITY = "authority"
    AUTHORITY_ENDED = "authority_ended"
    INITIAL_TRAINER = "initial_trainer"
    REVISION = "revision"
    RECLASSIFICATION = "reclassification"
    TERMS = "terms"
    POLICY = "policy"
    ENROLMENT = "enrolment"
    UNIT_DECISION = "unit_decision"
    UNIT_REPORTED = "unit_reported"
    MODERATION = "moderation"
    HOLD = "hold"
    HOLD_ENDED = "hold_ended"
    ERASURE = "erasure"


class Meaning(StrEnum):
    """What a signature says. A closed list: free text never stands for it."""

    CARRIED_OUT = "carried_out_under_supervision"
    SUPERVISED = "supervised"
    COMPETENT = "assessed_competent"
    NOT_YET_COMPETENT = "assessed_not_yet_competent"
    REVIEWED = "checked_the_record"
    READ_AND_UNDERSTOOD = "read_and_understood"
    SUSPENDED = "suspended"
    REINSTATED = "reinstated"
    WITHDRAWN = "withdrawn"
    RECOGNISED = "recognised_prior_competence"
    CHECK_ASKED = "asked_for_a_check"
    ANNULLED = "annulled"
    DOUBTED = "put_under_review"
    STANDS = "looked_at_again"
    ATTEMPTS_REVIEWED = "reviewed_the_attempts"
    OUTCOME_SEEN = "saw_the_outcome"
    APPEALED = "appealed"
    CONFLICT = "declared_a_conflict"
    ENTERED_IN_ERROR = "entered_in_error"
    ENTERED_INSTEAD = "entered_instead"
    ADMINISTERED = "administered"
    UNIT_ACHIEVED = "decided_unit_achieved"
    MODERATED = "moderated_unit"


class SheetKind(StrEnum):
    """The kinds of printed sheet that are registered."""

    RECORD = "record"
    STANDING = "standing"
    TASK_CARD = "task-card"
    MATRIX = "matrix"
    COVER = "cover"
    ASSESSMENT = "assessment"
    CERTIFICATE = "certificate"
    AUDIT = "audit"
    INCIDENT = "incident"

    @property
    def is_explained(self) -> bool:
        """Whether it states a standing on a task, which can be worked out again."""
        return self in {SheetKind.STANDING, SheetKind.ASSESSMENT, SheetKind.CERTIFICATE}


class JobState(StrEnum):
    """Where a piece of background work stands."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"

    @property
    def is_open(self) -> bool:
        """Whether more may still come of it."""
        return self in {JobState.WAITING, JobState.RUNNING}


class ReminderKind(StrEnum):
    """What somebody was told by e-mail."""

    ASSIGNMENT = "assignment"
    LAPSE = "lapse"
    WEEK = "week"


class ReadScope(StrEnum):
    """What a key for another program may read."""

    PEOPLE = "people"
    STANDING = "standing"
    COVER = "cover"
    LEDGER = "ledger"
