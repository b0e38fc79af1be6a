"""Figures about judges: how they differ, with how much doubt. Pure."""
