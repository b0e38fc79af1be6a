"""The tables of the app, one module a subject."""

from assessments.models.checks import CheckAnswer, CheckSitting
from assessments.models.inspection import InspectionAnswer, InspectionSeries
from assessments.models.plant_calculations import PlantCalculation
from assessments.models.practice import PracticeAttempt, PracticeProgress, PracticeRound, StepsAsked
from assessments.models.worksheets import Worksheet, WorksheetCopy

__all__ = [
    "CheckAnswer",
    "CheckSitting",
    "InspectionAnswer",
    "InspectionSeries",
    "PlantCalculation",
    "PracticeAttempt",
    "PracticeProgress",
    "PracticeRound",
    "StepsAsked",
    "Worksheet",
    "WorksheetCopy",
]
