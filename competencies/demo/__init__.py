"""The demo plant: an invented place with a year and a half of history, written as a plant would have written it."""
