"""Worksheets and keys on paper."""
