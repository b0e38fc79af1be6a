"""Who may do what: one function a verb, `may_<verb>(actor, ...)`.

The floor's own rules (who may assess whom, on what day) are not here but where the ledger is written.
"""

from dataclasses import dataclass
from datetime import date

from competencies.models import Area, Authority, Person, Plant, SavedView, Task, User
from competencies.vocabulary import AuthorityKind

OFFICE = frozenset({AuthorityKind.COORDINATE})
FLOOR = frozenset({AuthorityKind.TRAIN, AuthorityKind.ASSESS, AuthorityKind.SUPERVISE, AuthorityKind.COORDINATE})
SECOND = frozenset({AuthorityKind.SIGN_FOOD, AuthorityKind.SIGN_SAFETY})


@dataclass(frozen=True, slots=True)
class Actor:
    """Who is at the keyboard: the person, the plant, and what they are entrusted with on the day `on`.

    `person` is None for a sign-in without a person, and for one who has left.
    """

    user: User
    person: Person | None
    on: date
    grants: tuple[tuple[AuthorityKind, int | None], ...] = ()

    @property
    def plant(self) -> Plant | None:
        """Return the plant of the person."""
        return self.person.plant if self.person else None

    def holds(self, *kinds: AuthorityKind, area: Area | None = None) -> bool:
        """Whether the person is entrusted with one of `kinds` (for `area`, where one is named)."""
        return any(
            kind in kinds and (area is None or area_id is None or area_id == area.pk) for kind, area_id in self.grants
        )


def person_of(user: User) -> Person | None:
    """Return the person behind a sign-in, with the plant: one query."""
    return Person.objects.select_related("plant", "crew").filter(user=user, user__is_active=True).first()


def actor_of(user: User, person: Person | None, *, on: date) -> Actor:
    """Return the actor behind a sign-in on the day `on` (one query); a leaver is nobody here."""
    if person is None or (person.last_day is not None and person.last_day < on):
        return Actor(user, None, on)
    grants = Authority.objects.in_force(on).filter(person=person).values_list("kind", "area_id")
    return Actor(user, person, on, tuple((AuthorityKind(kind), area_id) for kind, area_id in grants))


def may_see_floor(actor: Actor) -> bool:
    """Trainers, assessors, supervisors and coordinators see the floor page."""
    return actor.holds(*FLOOR)


def may_assign(actor: Actor) -> bool:
    """Trainers, supervisors and coordinators ask for floor tasks."""
    return actor.holds(AuthorityKind.TRAIN, AuthorityKind.SUPERVISE, AuthorityKind.COORDINATE)


def may_log_run(actor: Actor) -> bool:
    """Who teaches, assesses or leads a shift logs supervised runs (the ledger judges the rest)."""
    return actor.holds(*FLOOR)


def may_open_check(actor: Actor) -> bool:
    """Who teaches, assesses or leads a shift opens a check for a named trainee."""
    return actor.holds(*FLOOR)


def may_assess(actor: Actor) -> bool:
    """Only an assessor reaches the assessment form; for which task is judged at the ledger."""
    return actor.holds(AuthorityKind.ASSESS)


def may_second_sign(actor: Actor) -> bool:
    """Holders of the food or the safety role see the queue of second signatures."""
    return actor.holds(AuthorityKind.SIGN_FOOD, AuthorityKind.SIGN_SAFETY)


def may_stop(actor: Actor) -> bool:
    """Supervisors, assessors and coordinators may suspend or withdraw a sign-off."""
    return actor.holds(AuthorityKind.SUPERVISE, AuthorityKind.ASSESS, AuthorityKind.COORDINATE)


def may_correct(actor: Actor) -> bool:
    """Only a coordinator corrects an entry."""
    return actor.holds(*OFFICE)


def may_owe_check(actor: Actor) -> bool:
    """Who may stop a person, and the second signatories, ask for an extra check."""
    return may_stop(actor) or actor.holds(*SECOND)


def may_annul(actor: Actor) -> bool:
    """Only a coordinator annuls a sign-off, puts one under review, or reviews the attempts."""
    return actor.holds(*OFFICE)


def may_see_reviews(actor: Actor) -> bool:
    """Coordinators, assessors and auditors see which sign-offs are under review."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.ASSESS, AuthorityKind.AUDIT)


def may_see_conflicts(actor: Actor, person: Person) -> bool:
    """Conflicts of interest are for the person, and for those who judge, coordinate or audit."""
    return actor.person == person or may_see_reviews(actor)


def may_declare_conflict(actor: Actor) -> bool:
    """Everybody declares a conflict of their own; whose it is, is judged at the ledger."""
    return actor.person is not None


def may_import(actor: Actor) -> bool:
    """Only a coordinator brings in files."""
    return actor.holds(*OFFICE)


def may_see_person(actor: Actor, person: Person) -> bool:
    """Your own page is yours; others' are for those who teach, judge, lead, coordinate or audit in your plant."""
    if actor.person is None or actor.person.plant_id != person.plant_id:
        return False
    return actor.person == person or actor.holds(*FLOOR, AuthorityKind.AUDIT, *SECOND)


def may_see_people(actor: Actor) -> bool:
    """Those who teach, judge, lead, coordinate, audit or sign as the second see the list of people."""
    return actor.holds(*FLOOR, AuthorityKind.AUDIT, *SECOND)


def may_see_plant(actor: Actor) -> bool:
    """Whole-plant lists are for those who lead, coordinate or audit."""
    return actor.holds(AuthorityKind.SUPERVISE, AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_print_records(actor: Actor) -> bool:
    """Coordinators and auditors print anyone's record (people print their own, see `may_print_record`)."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_print_record(actor: Actor, person: Person) -> bool:
    """Your own record is yours to print."""
    return may_see_person(actor, person) and (actor.person == person or may_print_records(actor))


def may_print_card(actor: Actor) -> bool:
    """Let whoever teaches, judges, leads, coordinates or audits print the card of a task."""
    return actor.holds(*FLOOR, AuthorityKind.AUDIT)


def may_see_all_jobs(actor: Actor) -> bool:
    """Show the office every file that is made in the background, but for those that are private."""
    return actor.holds(*OFFICE)


def may_manage_people(actor: Actor) -> bool:
    """Only a coordinator grants authorities, enrols people and sets PINs."""
    return actor.holds(*OFFICE)


def may_decide_unit(actor: Actor) -> bool:
    """Only an assessor decides that a unit standard is achieved."""
    return actor.holds(AuthorityKind.ASSESS)


def may_report_unit(actor: Actor) -> bool:
    """Only a coordinator reports to the training body."""
    return actor.holds(*OFFICE)


def may_moderate_unit(actor: Actor) -> bool:
    """Whether `actor` moderates: an auditor does, a coordinator writes down what a moderator from outside said."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_see_units(actor: Actor) -> bool:
    """Those who assess, coordinate or audit see who is how far on which unit."""
    return actor.holds(AuthorityKind.ASSESS, AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_see_ledger(actor: Actor) -> bool:
    """Coordinators and auditors see the journal of the ledger."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_decide_on_task(actor: Actor, task: Task) -> bool:
    """Whether `actor` coordinates the area: names first trainers, changes what a task or a revision asks."""
    return actor.holds(*OFFICE, area=task.area)


def may_see_lapses(actor: Actor) -> bool:
    """Those who lead, assess, coordinate or audit see what runs out."""
    return may_see_plant(actor) or actor.holds(AuthorityKind.ASSESS)


def may_plan_renewals(actor: Actor) -> bool:
    """Only a coordinator spreads the renewals over the weeks and asks for them."""
    return actor.holds(*OFFICE)


def may_see_reminders(actor: Actor) -> bool:
    """Only a coordinator sees what was told to whom; what one was told oneself, everybody sees."""
    return actor.holds(*OFFICE)


def may_record_absence(actor: Actor, person: Person) -> bool:
    """Coordinators and supervisors enter who is away; nobody enters their own."""
    return actor.person != person and actor.holds(AuthorityKind.SUPERVISE, AuthorityKind.COORDINATE)


def may_see_retention(actor: Actor) -> bool:
    """Coordinators and auditors see what is due to go and what is held."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_see_all_judges(actor: Actor) -> bool:
    """Coordinators and auditors see how every assessor judges."""
    return actor.holds(AuthorityKind.COORDINATE, AuthorityKind.AUDIT)


def may_see_judges(actor: Actor) -> bool:
    """Whether `actor` sees how assessors judge; an assessor sees only their own figures."""
    return may_see_all_judges(actor) or actor.holds(AuthorityKind.ASSESS)


def may_see_incidents(actor: Actor) -> bool:
    """Whether `actor` asks who was on at a minute: those who lead, coordinate or audit."""
    return may_see_plant(actor)


def may_open_incident(actor: Actor) -> bool:
    """Coordinators and auditors keep a copy of what was found and set the hold over it."""
    return may_see_retention(actor)


def may_erase(actor: Actor) -> bool:
    """Whether `actor` signs first for what is erased; a second person signs on the same page."""
    return actor.holds(*OFFICE)


def may_see_own_data(actor: Actor, person: Person) -> bool:
    """Everything kept about a person is theirs to see, and the coordinator hands it out."""
    if actor.person is None or actor.person.plant_id != person.plant_id:
        return False
    return actor.person == person or actor.holds(*OFFICE)


def may_set_cover_rules(actor: Actor) -> bool:
    """Only a coordinator declares which stations go together, and whether a line asks for relief."""
    return actor.holds(*OFFICE)


def may_give_keys(actor: Actor) -> bool:
    """Only a coordinator lets another program read of the plant."""
    return actor.holds(*OFFICE)


def may_set_policy(actor: Actor) -> bool:
    """Only a coordinator changes the plant's figures."""
    return actor.holds(*OFFICE)


def may_drop_saved_view(actor: Actor, view: SavedView) -> bool:
    """Whoever saved a view drops it; a shared one the coordinator too."""
    return actor.person == view.owner or (view.is_shared and actor.holds(*OFFICE))
