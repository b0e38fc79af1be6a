#!/usr/bin/env python3
"""The site's command line. On a bare machine `config/bootstrap.py` first fetches what is missing."""

import os
import sys


def main() -> None:
    """Run a management command."""
    if sys.version_info < (3, 11):  # noqa: UP036 - this line is for the older Pythons that pyproject.toml rules out
        sys.exit("This needs Python 3.11 or newer, and this is Python {}.{}.".format(*sys.version_info[:2]))
    from config import bootstrap

    bootstrap.prepare(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:
        sys.exit(f"The settings do not fit: {error}")


if __name__ == "__main__":
    main()
