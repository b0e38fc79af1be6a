"""The kinds of job, a module each: it holds one KIND, and is found by being here."""
