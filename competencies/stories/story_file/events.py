"""What may be told of each kind of event: `events`."""

from competencies.importing.fields import Section
from competencies.importing.nodes import Scalar

EVENT_KEYS: dict[str, tuple[str, ...]] = {
    "run": ("shift", "revision", "range", "simulated", "stopped", "confirmed"),
    "run_accepted": ("of",),
    "check": ("calculation", "passed"),
    "assessment": ("outcome", "judged", "revision", "delta"),
    "second_signature": ("of", "role", "roles"),
    "acknowledgement": ("revision",),
    "recognition": ("evidence_on", "ends_on", "criteria", "runs"),
    "performance": (),
    "suspension": ("reason",),
    "lifting": ("of", "reason"),
    "withdrawal": ("reason",),
    "check_owed": ("cause",),
    "annulment": ("of", "cause", "unentitled_from", "reason"),
    "review": ("of",),
    "reverification": ("of",),
    "correction": ("of", "reason", "cause", "instead", "twin"),
    "join": ("into", "reason", "confirmed"),
    "part": ("into", "of", "reason"),
    "rename": ("name",),
    "employment": ("started_on", "last_day", "restricted_until"),
    "absence": ("back",),
    "authority": ("assesses", "signs", "trains", "supervises", "coordinates", "audits"),
    "authority_ended": ("grant", "area", "last_day"),
    "initial_trainer": ("revision",),
    "attempts_reviewed": (),
    "outcome_seen": ("of",),
    "appeal": ("of", "reason"),
    "conflict": ("with", "cause", "from", "until"),
    "unit_decision": ("unit", "version", "elsewhere"),
    "unit_reported": ("of", "unit", "version"),
    "moderation": ("of", "unit", "version", "agrees", "moderator", "reason"),
    "hold": ("incident", "people", "line", "from", "until"),
    "hold_ended": ("of",),
    "enrolment": ("pathway", "version"),
}
COMMON_EVENT_KEYS = (
    *("id", "kind", "person", "task", "scope", "line", "machine", "on", "at", "recorded", "by", "refused", "reason"),
)


def read_refused(section: Section) -> tuple[bool, tuple[str, ...]]:
    """Return whether an event tells that it is refused, and the codes that must be among the reasons."""
    if not section.has("refused"):
        return False, ()
    node = section.nodes["refused"][1]
    if not isinstance(node, Scalar):
        return True, section.texts("refused", longest=40)
    if node.text.lower() in {"yes", "true"}:
        return True, ()
    return (False, ()) if node.text.lower() in {"no", "false"} else (True, (node.text,))
