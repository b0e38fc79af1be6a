"""A run in which every test was skipped has shown nothing, and fails like a run without tests."""

import pytest


def pytest_sessionfinish(session, exitstatus):
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is None:  # a worker: whoever started it has the reports of all
        return
    if exitstatus == pytest.ExitCode.OK and not session.config.option.collectonly and not reporter.stats.get("passed"):
        session.exitstatus = pytest.ExitCode.NO_TESTS_COLLECTED
