"""Dated stories: what happened, and what must be said of it. Played through the site's own operations."""
