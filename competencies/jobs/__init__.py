"""Work in the background: what can be asked for (`kinds/`), and how it is found, asked for and done."""
