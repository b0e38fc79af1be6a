"""The unit standards and pathways of a story."""

from competencies.models import OutcomeItem, Qualification, UnitOutcome, UnitStandard
from competencies.stories.ground.plant import Ground
from competencies.stories.story import Story


def add_pathways(ground: Ground, story: Story) -> None:
    """Add the unit standards and pathways that a story tells of."""
    for unit in story.units:
        row = UnitStandard.objects.create(
            plant=ground.plant,
            code=unit.code,
            version=unit.version,
            title=unit.code,
            level=unit.level,
            credits=unit.credits,
            group=unit.group,
            first_date_for_assessment=unit.first_date,
            last_date_for_assessment=unit.last_date,
            min_age=unit.min_age,
        )
        for number, items in unit.outcomes.items():
            outcome = UnitOutcome.objects.create(unit=row, number=number)
            for item in items:
                calculation = item.removeprefix("calc:") if item.startswith("calc:") else ""
                OutcomeItem.objects.create(
                    outcome=outcome, task=None if calculation else ground.tasks[item], calculation=calculation
                )
    for pathway in story.pathways:
        rules: list[dict[str, object]] = [{"group": "core", "rule": "all"}]
        rules += [{"group": group, "rule": "min", "credits": least} for group, least in pathway.minimum.items()]
        rules += [{"group": group, "rule": "max", "credits": most} for group, most in pathway.maximum.items()]
        if pathway.level_credits:
            rules.append({"rule": "min_at_level_or_above", "level": pathway.level, "credits": pathway.level_credits})
        Qualification.objects.create(
            plant=ground.plant,
            code=pathway.code,
            version=pathway.version,
            title=pathway.code,
            min_total_credits=pathway.total,
            rules=rules,
            exclusions=[pair.split() for pair in pathway.exclusions],
            last_date_to_enrol=pathway.last_enrolment,
            last_date_to_achieve=pathway.last_achievement,
        )
