"""Who may take part in a check and read it, and who may see what readings and answers tell together."""

from assessments.models import CheckSitting
from competencies.models import Person
from competencies.permissions import Actor, may_open_check, may_see_person, may_set_policy
from competencies.vocabulary import AuthorityKind


def may_sit_check(actor: Actor, sitting: CheckSitting) -> bool:
    """Whether it is the trainee on their own phone, or on the tablet of whoever opened the check."""
    return actor.person is not None and actor.person in (sitting.trainee, sitting.opened_by)


def may_see_check(actor: Actor, sitting: CheckSitting) -> bool:
    """Whether it is the trainee, or one who may see the trainee's page."""
    return may_see_person(actor, sitting.trainee)


def may_call_off_check(actor: Actor, sitting: CheckSitting) -> bool:
    """Whoever may open a check in the trainee's plant, save the trainee."""
    return may_open_check(actor) and actor.plant == sitting.plant and actor.person != sitting.trainee


def may_make_worksheet(actor: Actor) -> bool:
    """Who teaches, assesses or leads a shift hands out worksheets, and holds their keys."""
    return may_open_check(actor)


def may_keep_calculations(actor: Actor) -> bool:
    """Whoever may set the plant's figures adds, publishes and withdraws its own calculations."""
    return may_set_policy(actor)


def may_see_handed_in(actor: Actor) -> bool:
    """Whoever may open a check sees the sums of the series that trainees handed in."""
    return may_open_check(actor)


def may_see_agreement(actor: Actor, person: Person) -> bool:
    """Whether it is the person's own, or one who may see the person's page."""
    return may_see_person(actor, person)


def may_see_plant_agreement(actor: Actor) -> bool:
    """Coordinators and auditors see a quantity over everybody who reads it, and over those who watch."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_see_item_statistics(actor: Actor) -> bool:
    """Coordinators and auditors see how the problems of checks do."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.AUDIT)
