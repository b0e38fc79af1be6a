"""The plant's own calculations, for those who keep them."""

from django.db.models import QuerySet

from assessments.models import PlantCalculation
from competencies.models import Plant


def own_calculations(plant: Plant) -> QuerySet[PlantCalculation]:
    """Return every version of every calculation of the plant, drafts and withdrawn ones too, the newest first."""
    rows = PlantCalculation.objects.filter(plant=plant).select_related("changed_by", "published_by", "withdrawn_by")
    return rows.order_by("code", "-version")
