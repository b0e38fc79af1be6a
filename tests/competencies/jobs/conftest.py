"""What the tests of jobs start from."""

from tests.competencies.jobs.background import ask, clock, job_files, office, works

__all__ = ["ask", "clock", "job_files", "office", "works"]
