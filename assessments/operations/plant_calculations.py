"""The plant's own calculations, from a draft to what is published and withdrawn.

They are not entries of the competence ledger. No rule of standing reads how a calculation is worked: it reads that a
check of a code was passed, and that check keeps its problems, with the version in their code, its right answers and
its result, which is in the ledger. What is published is kept for ever in its own table, guarded by a trigger, with
who decided it, when and by what proof; the next version takes its place.
"""

from datetime import datetime

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from assessments.models import PlantCalculation
from assessments.plant_formulas.compiling import compiled
from assessments.plant_formulas.described import Described, as_kept, from_kept
from assessments.plant_formulas.faults import DescriptionError
from assessments.plant_formulas.sweep import swept
from competencies.models import Person, Plant
from competencies.operations.pins import Signer


class PlantCalculationError(Exception):
    """It cannot be done so; `field` is where it stands in the form, the message may be shown there."""

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        super().__init__(message)


@transaction.atomic
def begin_calculation(*, plant: Plant, told: Described, by: Person, now: datetime) -> PlantCalculation:
    """Keep the draft of a calculation under a code that is new to the plant.

    Raises PlantCalculationError where the code is taken, DescriptionError where it makes no calculation.
    """
    Plant.objects.select_for_update().get(pk=plant.pk)  # one after the other, so that no code is taken twice
    compiled(told)
    if PlantCalculation.objects.filter(plant=plant, code=told.code).exists():
        raise PlantCalculationError("code", _("The plant has a calculation %(code)s already.") % {"code": told.code})
    return PlantCalculation.objects.create(
        plant=plant, code=told.code, version=1, described=as_kept(told), changed_at=now, changed_by=by
    )


@transaction.atomic
def change_calculation(*, plant: Plant, told: Described, by: Person, now: datetime) -> PlantCalculation:
    """Change the draft of a calculation, or begin the next version of one that is published.

    Raises DescriptionError where it makes no calculation.
    """
    Plant.objects.select_for_update().get(pk=plant.pk)
    compiled(told)
    versions = PlantCalculation.objects.filter(plant=plant, code=told.code)
    draft = versions.drafts().first()
    if draft is None:
        newest = versions.aggregate(newest=Max("version"))["newest"] or 0
        draft = PlantCalculation(plant=plant, code=told.code, version=newest + 1)
    draft.described, draft.changed_at, draft.changed_by = as_kept(told), now, by
    draft.save()
    return draft


@transaction.atomic
def discard_draft(*, draft: PlantCalculation) -> None:
    """Throw a draft away; what was published stays."""
    PlantCalculation.objects.drafts().filter(pk=draft.pk).delete()


@transaction.atomic
def publish_calculation(*, draft: PlantCalculation, by: Signer, now: datetime) -> PlantCalculation:
    """Publish a draft: from now on it is practised and checked in place of the version before.

    Raises PlantCalculationError where it is no draft any more, or does not hold over its whole range.
    """
    row = PlantCalculation.objects.select_for_update(of=("self",)).filter(pk=draft.pk).first()
    if row is None or row.published_at is not None:
        raise PlantCalculationError("", _("This is no draft any more."))
    try:
        kind = compiled(from_kept(row.described, code=row.code, version=row.version))
    except DescriptionError as error:
        raise PlantCalculationError("", _("This makes no calculation: change it first.")) from error
    if swept(kind).findings:
        raise PlantCalculationError("", _("It does not hold over its whole range: see what was found."))
    row.published_at, row.published_by, row.proof = now, by.person, by.proof
    row.save(update_fields=["published_at", "published_by", "proof"])
    return row


@transaction.atomic
def withdraw_calculation(*, row: PlantCalculation, by: Signer, now: datetime) -> None:
    """Offer a calculation no longer, in none of its versions; answers given to it stay readable."""
    published = PlantCalculation.objects.published().filter(plant=row.plant_id, code=row.code, withdrawn_at=None)
    if not published.update(withdrawn_at=now, withdrawn_by=by.person, withdrawal_proof=by.proof):
        raise PlantCalculationError("", _("It is not offered any more."))
