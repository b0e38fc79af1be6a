"""The standing rule: what the ledger says of a person and a task, at any moment. Pure."""
