"""The unit standards and pathways of a story: `units`, `pathways`."""

from competencies.importing.fields import Section
from competencies.stories.story import StoryPathway, StoryUnit
from competencies.stories.story_file.values import whole_map


def read_unit(section: Section) -> StoryUnit:
    """Return a unit standard of `units`."""
    section.expect(("code", "version", "level", "credits", "group", "outcomes", "first_date", "last_date", "min_age"))
    outcomes = section.map_of("outcomes")
    found: dict[int, tuple[str, ...]] = {}
    for key in outcomes.nodes if outcomes else ():
        if outcomes is not None and key.isdigit():
            found[int(key)] = outcomes.texts(key, longest=30)
        elif outcomes is not None:
            outcomes.note(key, "outcomes are numbered")
    return StoryUnit(
        code=section.code(),
        version=section.whole("version", low=1, high=99, default=1),
        level=section.whole("level", low=1, high=10, default=3),
        credits=section.whole("credits", low=0, high=500, default=0),
        group=section.text("group", longest=20) or "core",
        outcomes=found,
        first_date=section.day("first_date"),
        last_date=section.day("last_date"),
        min_age=section.whole_or_none("min_age", low=13, high=25),
    )


def read_pathway(section: Section) -> StoryPathway:
    """Return a pathway of `pathways`."""
    section.expect(
        (
            *("code", "version", "total", "minimum", "maximum", "level", "level_credits", "exclusions"),
            *("last_enrolment", "last_achievement"),
        )
    )
    return StoryPathway(
        code=section.code(),
        version=section.whole("version", low=1, high=99, default=1),
        total=section.whole("total", low=0, high=1000, default=0),
        minimum=whole_map(section, "minimum"),
        maximum=whole_map(section, "maximum"),
        level=section.whole("level", low=0, high=10, default=0),
        level_credits=section.whole("level_credits", low=0, high=1000, default=0),
        exclusions=section.texts("exclusions", longest=60),
        last_enrolment=section.day("last_enrolment"),
        last_achievement=section.day("last_achievement"),
    )
