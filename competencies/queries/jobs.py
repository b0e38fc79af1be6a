"""The list of what is made in the background."""

from django.db.models import Q, QuerySet

from competencies.models import Job, Person, Plant


def recent_jobs(plant: Plant, *, asked_by: Person, others: tuple[str, ...] = ()) -> QuerySet[Job]:
    """Return the jobs of a plant that a person asked for, and everybody's of the kinds in `others`; newest first."""
    jobs = Job.objects.filter(plant=plant).select_related("asked_by")
    return jobs.filter(Q(asked_by=asked_by) | Q(kind__in=others)).order_by("-asked_at", "code")
