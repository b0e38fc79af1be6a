"""Who may take part in a check, and who may read it."""

from assessments.models import CheckSitting
from competencies.permissions import Actor, may_open_check, may_see_person, may_set_policy


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
