"""The tables of the app, one module a subject."""

from competencies.models.doors import AccessKey, CalendarAddress
from competencies.models.floor import Absence, Assignment, CoverRule, RosterDay, Station
from competencies.models.framework import Criterion, Reading, Task, TaskCalculation, TaskPlace, TaskRevision, TaskTerms
from competencies.models.incident import Incident
from competencies.models.induction import InductionIssue, InductionTask
from competencies.models.jobs import Job
from competencies.models.ledger import Detached, LedgerAnchor, LedgerEntry, LedgerIndex
from competencies.models.matrix import SavedView
from competencies.models.paper import PendingFile, PrintedSheet
from competencies.models.pathway import Enrolment, OutcomeItem, Qualification, UnitOutcome, UnitStandard
from competencies.models.people import Authority, DifferentPeople, Person, User
from competencies.models.place import Area, Crew, Line, Machine, Plant, PlantPolicy, Shift
from competencies.models.projection import StandingPeriod
from competencies.models.reminders import Reminder
from competencies.models.retention import LegalHold
from competencies.models.telling import RevisionNotice

__all__ = [
    "Absence",
    "AccessKey",
    "Area",
    "Assignment",
    "Authority",
    "CalendarAddress",
    "CoverRule",
    "Crew",
    "Criterion",
    "Detached",
    "DifferentPeople",
    "Enrolment",
    "Incident",
    "InductionIssue",
    "InductionTask",
    "Job",
    "LedgerAnchor",
    "LedgerEntry",
    "LedgerIndex",
    "LegalHold",
    "Line",
    "Machine",
    "OutcomeItem",
    "PendingFile",
    "Person",
    "Plant",
    "PlantPolicy",
    "PrintedSheet",
    "Qualification",
    "Reading",
    "Reminder",
    "RevisionNotice",
    "RosterDay",
    "SavedView",
    "Shift",
    "StandingPeriod",
    "Station",
    "Task",
    "TaskCalculation",
    "TaskPlace",
    "TaskRevision",
    "TaskTerms",
    "UnitOutcome",
    "UnitStandard",
    "User",
]
