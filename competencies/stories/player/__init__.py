"""Plays a story's events through the operations that the pages use."""

from competencies.stories.player.in_order import play
from competencies.stories.player.playing import Difference, Play

__all__ = ["Difference", "Play", "play"]
