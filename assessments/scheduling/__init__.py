"""What to practise next, and with how much help: from a person's answers and a moment. Pure."""
