"""A year and a half at the demo plant, told from its first day to the day before the loading."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from competencies.demo import people, plant
from competencies.demo.floor import Floor
from competencies.demo.learning import School
from competencies.demo.posts import FOUNDERS, keys_of
from competencies.demo.scheduling import Course, Schedule
from competencies.importing.people import PersonRow
from competencies.models import Area, Authority
from competencies.operations.decisions import When
from competencies.operations.initial_trainers import name_initial_trainer
from competencies.operations.pins import Signer
from competencies.operations.rights import Grant, end_authority, grant_authority, record_employment
from competencies.standing.calendar import clock_of, days_after
from competencies.vocabulary import AuthorityKind

HISTORY_DAYS = 545
# So many days before the day of loading, tablets came and sums were no longer done on paper.
TABLET_DAYS = 130
# Two people from outside see the first assessors through their first weeks (R4.10): they were at it elsewhere.
VISITORS = ("1901", "1902")
VISIT_DAYS = 84
ASSESSORS = ("1002", "1003", "1004", "1005", "1006", "1012", "1014", "1017", "1020", "1023", "1027", "1029")
OTHERS_AFTER_DAYS = 16
BAR_ENTERED_LATER = ("1046",)
# What the list of people leaves out: everybody's own sign-offs and units must be judged and signed by others.
FURTHER_RIGHTS = (
    ("1005", AuthorityKind.ASSESS, "HS"),
    ("1006", AuthorityKind.ASSESS, "HS"),
    ("1012", AuthorityKind.ASSESS, "RM"),
    ("1014", AuthorityKind.ASSESS, "FB"),
    ("1002", AuthorityKind.ASSESS, "TR"),
    ("1004", AuthorityKind.ASSESS, "TR"),
    ("1009", AuthorityKind.SIGN_SAFETY, ""),
    ("1020", AuthorityKind.SIGN_FOOD, ""),
)


@dataclass(slots=True)
class History:
    """The plant from its first day on: who is hired, founded, and learns."""

    school: School
    rows: Sequence[PersonRow]
    office: Signer
    first_day: date
    today: date
    new_number: Callable[[], int]

    @property
    def floor(self) -> Floor:
        """Return the floor."""
        return self.school.floor

    @property
    def now(self) -> datetime:
        """Return the moment of the act that goes on."""
        return self.school.schedule.now

    def at(self, day: date, minutes: int = 8 * 60) -> datetime:
        """Return a moment of a plant's day."""
        return self.floor.clock.moment(day, minutes)

    def day(self, before: int) -> date:
        """Return the day so many days before the day of loading."""
        return days_after(self.today, -before)

    def begin(self) -> None:
        """Start every course that belongs to the plant's ordinary life."""
        start = self.school.schedule.start
        start(self.name_visitors())
        start(self.visitors_leave())
        for row in self.rows:
            if row.started_on and row.started_on > self.first_day:
                start(self.join(row))
        for number, post in FOUNDERS.items():
            wait = 3 if number in ASSESSORS else OTHERS_AFTER_DAYS + int(number) % 7
            start(self.school.found(number, keys_of(post), days_after(self.first_day, wait)))

    def open_books(self) -> None:
        """Take everybody who is at work on the first day, and entrust some with more."""
        founders = [row for row in self.rows if row.started_on and row.started_on <= self.first_day]
        now = self.at(self.first_day, 9 * 60)
        people.hire(self.floor.plant, founders, self.office, now, self.new_number)
        self.floor.meet()
        areas = {area.code: area for area in Area.objects.filter(plant=self.floor.plant)}
        for number, kind, area in FURTHER_RIGHTS:
            grant_authority(
                person=self.floor.people[number],
                grant=Grant(kind=kind, from_on=self.first_day, area=areas.get(area)),
                by=self.office,
                happened_at=now,
                now=now,
            )
        self.floor.meet()

    def name_visitors(self) -> Course:
        """Name the visitors as first trainers of everything that founders do."""
        keys = sorted({key for post in FOUNDERS.values() for key in keys_of(post)})
        moment = self.at(days_after(self.first_day, 1), 10 * 60)
        for key in keys:
            for number in VISITORS:
                moment += timedelta(seconds=40)
                yield moment
                name_initial_trainer(
                    on_task=self.floor.on_task(number, key), by=self.office, when=self._done_at(moment)
                )
            self.floor.holders[key].extend(VISITORS)
        self.floor.visitors = frozenset(VISITORS)

    def visitors_leave(self) -> Course:
        """Let the visitors go: their rights end with their last day."""
        last_day = days_after(self.first_day, VISIT_DAYS)
        yield self.at(last_day, 15 * 60)
        for number in VISITORS:
            person, moment = self.floor.people[number], self.school.schedule.now
            people.leave(person, last_day, self.office, moment, last_day)
            for authority in Authority.objects.filter(person=person).select_related("person__plant").order_by("pk"):
                end_authority(authority=authority, last_day=last_day, by=self.office, now=moment)
        for holders in self.floor.holders.values():
            holders[:] = [number for number in holders if number not in VISITORS]
        self.floor.meet()

    def join(self, row: PersonRow) -> Course:
        """Take a newcomer on the first working day."""
        if row.started_on is None:
            return
        yield self.at(row.started_on, 7 * 60)
        # The bar of one of them is entered only days later, as is told of him.
        hired = replace(row, restricted_until=None) if row.works_number in BAR_ENTERED_LATER else row
        people.hire(self.floor.plant, [hired], self.office, self.now, self.new_number)
        self.floor.meet()

    def _done_at(self, moment: datetime) -> When:
        return When(happened_at=moment, on=self.floor.clock.day(moment), now=moment)


def begun_history(today: date, seed: str) -> History:
    """Return the history of the plant with the place made, the syllabus taken and the books opened."""
    content = plant.plant_file()
    rows = people.people_rows(plant.known_before(content), today)
    new_number = people.numbers_from(seed)
    made = plant.make_plant(content)
    first_day = days_after(today, -HISTORY_DAYS)
    now = clock_of(made.timezone).moment(first_day, 8 * 60)
    coordinator = people.make_first_coordinator(made, rows, new_number())
    office = Signer(coordinator, "seed")
    record_employment(person=coordinator, by=office, happened_at=now, on=first_day, now=now)
    plant.take_policy(made, office, first_day, now)
    plant.take_syllabus(made, office, first_day, now)
    plant.make_stations(made, content)
    plant.declare_cover_rules(made, content, office, now)
    school = School(floor=Floor(made, days_after(today, -TABLET_DAYS)), schedule=Schedule(now=now))
    history = History(school=school, rows=rows, office=office, first_day=first_day, today=today, new_number=new_number)
    history.open_books()
    return history
