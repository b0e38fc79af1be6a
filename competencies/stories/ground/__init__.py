"""Lays the ground of a story: the plant, tasks, people, lines, and what is held when it begins."""

from competencies.stories.ground.beginning import lay_ground
from competencies.stories.ground.lines import roster_for, set_stations
from competencies.stories.ground.people import entitled_person, give
from competencies.stories.ground.plant import STAND_INS, Ground, line_at
from competencies.stories.ground.signoffs import add_hold, assessed_on, keep_entitled
from competencies.stories.ground.tasks import change_policy, change_terms, issue_revision, reclassify

__all__ = [
    "STAND_INS",
    "Ground",
    "add_hold",
    "assessed_on",
    "change_policy",
    "change_terms",
    "entitled_person",
    "give",
    "issue_revision",
    "keep_entitled",
    "lay_ground",
    "line_at",
    "reclassify",
    "roster_for",
    "set_stations",
]
