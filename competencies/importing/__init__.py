"""Reading what a coordinator brings along: the syllabus as YAML, people as a spreadsheet. No Django here."""
