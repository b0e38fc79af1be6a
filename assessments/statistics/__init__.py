"""Figures about readings and answers: agreement, repeatability, items, reliability, the plot of differences. Pure."""
