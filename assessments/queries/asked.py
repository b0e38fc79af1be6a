"""What the plant's tasks ask for."""

from datetime import date

from django.db.models import Max

from competencies.models import Plant, TaskCalculation, TaskTerms


def asked_for(plant: Plant, *, on: date) -> list[TaskCalculation]:
    """Return what the terms in force of each task ask for, by task. Two queries."""
    newest = (
        TaskTerms.objects.filter(task__plant=plant, effective_on__lte=on)
        .values("task")
        .annotate(effective_on=Max("effective_on"))
        .values_list("task", "effective_on")
    )
    in_force = dict(newest)
    rows = (
        TaskCalculation.objects.filter(terms__task__plant=plant, terms__effective_on__lte=on)
        .select_related("terms__task")
        .order_by("terms__task__code", "calculation", "terms__recorded_at")
    )
    # Terms recorded again for the same day take the place of the earlier ones.
    latest = {row.terms.task_id: row.terms_id for row in rows if row.terms.effective_on == in_force[row.terms.task_id]}
    return [row for row in rows if latest.get(row.terms.task_id) == row.terms_id]
