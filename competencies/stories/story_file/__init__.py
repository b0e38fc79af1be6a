"""A story file in, a story out, or every fault with its file, line and field. The format: README.md above. Pure."""

from competencies.stories.story_file.people import read_grants
from competencies.stories.story_file.reader import StoryFileError, read_story

__all__ = ["StoryFileError", "read_grants", "read_story"]
