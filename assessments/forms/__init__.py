"""The forms of the app, one module a subject."""
