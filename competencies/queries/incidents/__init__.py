"""What is asked after something happened on a line: who was on, did they count then, and what is known since (R13)."""
