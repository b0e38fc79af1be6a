"""Tables as files that a spreadsheet opens without running anything. Pure."""
