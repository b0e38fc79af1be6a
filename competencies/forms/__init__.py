"""Forms: whether what was typed is well formed. Whether it may be is for the permissions and the operations."""
