"""Paper: what a query found, set on sheets that can be checked against the ledger later."""
