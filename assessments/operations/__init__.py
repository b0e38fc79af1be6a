"""Every write of the app, one module a subject."""
