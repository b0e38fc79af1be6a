"""The ground as it is when a story begins."""

from zoneinfo import ZoneInfo

from competencies.ledger.writer import writing
from competencies.models import Person, Plant, Shift
from competencies.operations.framework import PolicyChange, set_policy
from competencies.operations.pins import Signer
from competencies.stories.ground.pathways import add_pathways
from competencies.stories.ground.people import add_person, entitled_person, teaches
from competencies.stories.ground.plant import BEGINNING, STAND_INS, Ground, clock_of, founder_of
from competencies.stories.ground.tasks import add_task, add_terms_and_prerequisites
from competencies.stories.story import Story


@writing()
def lay_ground(*, story: Story) -> Ground:
    """Make the plant of a story, with its people and what they hold at the beginning."""
    plant = Plant.objects.create(code="story", name="Story plant", timezone=story.timezone)
    founder = Person.objects.create(plant=plant, works_number="0", name="founder", started_on=BEGINNING.date())
    ground = Ground(plant, ZoneInfo(story.timezone), Signer(founder, "story"))
    for shift in story.shifts:
        Shift.objects.create(
            plant=plant, name=shift.name, title=shift.name, starts=clock_of(shift.starts), ends=clock_of(shift.ends)
        )
    if story.policy:
        change = PolicyChange(effective_on=BEGINNING.date(), settings=story.policy)
        set_policy(plant=plant, change=change, signer=founder_of(ground), now=BEGINNING)
    for task in story.tasks:
        add_task(ground, task)
    add_terms_and_prerequisites(ground, story)
    for person in story.people:
        add_person(ground, person.id, person.grants, person)
    for name in STAND_INS:
        entitled_person(ground, name)
    ground.entrusted = {ground.people[person.id].pk for person in story.people if teaches(person)}
    ground.told = {(hold.person, hold.task) for hold in story.holds}
    ground.told |= {
        (event.section.text("person", longest=20), event.section.text("task", longest=20)) for event in story.events
    }
    add_pathways(ground, story)
    return ground
