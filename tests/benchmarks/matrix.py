"""The matrix of a large plant: 200 people by 150 tasks out of 2,000 by 500, against raw SQL through the driver.

Everybody has begun the 150 tasks of their own department and has five periods on each, as known now; the rows are
seeded and invented. The raw question reads the same answer with the person's rows found by the same index.
"""

import random
from datetime import UTC, datetime, timedelta

from django.db import connection
from django.test import RequestFactory
from django.utils import timezone

from competencies.models import Area, Authority, Person, Plant, StandingPeriod, Task, User
from competencies.permissions import actor_of, person_of
from competencies.queries.matrix import AsOf, Cut, cells_of, counting_by_task, people_of_cut, tasks_of_cut
from competencies.views.matrix import matrix
from competencies.views.matrix_drawing import Pen
from competencies.vocabulary import AuthorityKind, Standing
from tests.benchmarks.figure import Figure, medians_ms
from tests.factories import make_plant

NAME = "matrix"
PEOPLE, TASKS, DEPARTMENTS, OWN_TASKS = 2000, 500, 10, 150
# So many different histories a department; the others are copies of them.
PATTERNS = 4
NOW = datetime(2024, 6, 30, 12, tzinfo=UTC)
WAY = (Standing.LEARNING, Standing.READY, Standing.IN_FORCE, Standing.RENEWAL_DUE, Standing.LAPSED)
RAW = """
    select person_id, task_id, scope, standing, counts from competencies_standingperiod
    where person_id in ({people}) and task_id in ({tasks}) and known_to is null
    and (starts_at is null or starts_at <= %s) and (ends_at is null or ends_at > %s) and standing <> 'not_started'
"""


def figures():
    """Return what a page costs as multiples of fetching its answer by the driver."""
    plant = make_plant()
    people, tasks = large_plant(plant)
    at, cut = AsOf(on=NOW.date(), moment=NOW), Cut()
    page, window = people[: PEOPLE // DEPARTMENTS], tasks[:OWN_TASKS]
    cells = cells_of(page, window, cut, at)

    def raw():
        return raw_rows(page, window)

    def data():
        return cells_of(page, window, cut, at)

    def drawn():
        pen = Pen(window, {"on": "2024-06-30"}, ())
        return [pen.row(person.pk, f"/people/{person.pk}/", cells) for person in page]

    def totals():
        return counting_by_task(people_of_cut(plant, cut, at), window[:40], cut, at)

    def shown():
        return list(tasks_of_cut(plant, cut, at)[:40]), list(people_of_cut(plant, cut, at)[:50])

    request = asked_by(people[0])

    def served():
        return matrix(request).content

    def raw_of_page():
        return raw_rows(people[:100], tasks[:80])

    least, read, strings, counted, cut_out = medians_ms(raw, data, drawn, totals, shown)
    least_of_page, page_served = medians_ms(raw_of_page, served)
    name = f"raw SQL, {len(cells)} cells"
    return [
        _figure("page of 100 by 80, whole", page_served, "raw SQL, 8000 cells", least_of_page, goal=8.0),
        _figure("cells of 200 by 150", read, name, least, goal=1.5),
        _figure("the same drawn", strings, name, least, goal=1.0),
        _figure("totals of 40 tasks over everybody", counted, name, least, goal=5.0),
        _figure("which people, which tasks", cut_out, name, least, goal=0.5),
    ]


def _figure(name, measured, baseline_name, baseline, *, goal):
    return Figure(name=name, unit="ms", measured=measured, baseline_name=baseline_name, baseline=baseline, goal=goal)


def asked_by(person):
    """Return the request for the largest page, as somebody who audits the plant asks it."""
    user = User.objects.create(username="auditor")
    Person.objects.filter(pk=person.pk).update(user=user)
    grant = {"kind": AuthorityKind.AUDIT, "from_on": NOW.date(), "recorded_at": NOW, "entry_seq": 0}
    Authority.objects.create(person=person, **grant)
    request = RequestFactory().get("/matrix/", {"size": "large", "on": NOW.date().isoformat()})
    request.user, request.actor = user, actor_of(user, person_of(user), on=timezone.localdate())
    return request


def raw_rows(people, tasks):
    """Return the rows of a page as the driver gives them."""
    keys = [[each.pk for each in group] for group in (people, tasks)]
    sql = RAW.format(people=", ".join(map(str, keys[0])), tasks=", ".join(map(str, keys[1])))
    with connection.cursor() as cursor:
        cursor.execute(sql, [NOW, NOW])
        return cursor.fetchall()


def large_plant(plant: Plant):
    """Make the people and the tasks with their periods; return both in the order of the departments."""
    areas = Area.objects.bulk_create(Area(plant=plant, code=f"D{n}", title=f"Department {n}") for n in range(10))
    tasks = Task.objects.bulk_create(
        Task(plant=plant, area=areas[n * 10 // TASKS], code=f"T-{n:03d}", title=f"Task {n}") for n in range(TASKS)
    )
    people = Person.objects.bulk_create(
        Person(id=n + 1, plant=plant, works_number=f"{n:05d}", name=f"Worker {n:04d}", started_on=NOW.date())
        for n in range(PEOPLE)
    )
    size = PEOPLE // DEPARTMENTS
    for department in range(DEPARTMENTS):
        first = department * size
        own = [tasks[(department * TASKS // DEPARTMENTS + n) % TASKS] for n in range(OWN_TASKS)]
        seeded = random.Random(department)
        rows = [row for person in people[first : first + PATTERNS] for row in periods(person, own, seeded)]
        StandingPeriod.objects.bulk_create(rows, batch_size=2000)
        copy_periods(first + 1, size)
    return people, tasks


def periods(person, tasks, seeded):
    """Yield five periods of a person on each task, one after the other, of which one holds now."""
    for task in tasks:
        starts = [NOW - timedelta(days=seeded.randrange(30, 900))]
        for _step in WAY[1:]:
            starts.append(starts[-1] + timedelta(days=seeded.randrange(20, 400)))
        for standing, start, end in zip(WAY, starts, [*starts[1:], None], strict=True):
            yield StandingPeriod(
                person=person,
                task=task,
                starts_at=start,
                ends_at=end,
                standing=standing,
                counts=standing.is_in_force,
                reasons=[["R3.1", "valid", [["day", "2025-01-31"]]]],
                rests_on=[seeded.randrange(10**6)],
                known_from=start,
            )


def copy_periods(first, size):
    """Give the rest of a department the periods of its first people."""
    columns = [field.column for field in StandingPeriod._meta.concrete_fields if not field.primary_key]
    taken = ", ".join(column for column in columns if column != "person_id")
    with connection.cursor() as cursor:
        for person in range(first + PATTERNS, first + size):
            cursor.execute(
                f"insert into competencies_standingperiod (person_id, {taken})"
                f" select %s, {taken} from competencies_standingperiod where person_id = %s",
                [person, first + (person - first) % PATTERNS],
            )
