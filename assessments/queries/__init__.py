"""Every read over several tables, one module a subject."""
