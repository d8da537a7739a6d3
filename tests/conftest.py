"""What holds for every test."""

import pytest
from hypothesis import settings

# A test may be the first to import pint or to share its core with others: how long one example takes says nothing.
settings.register_profile("house", deadline=None)
settings.load_profile("house")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say aloud what was not tested: a skipped test is a small s among hundreds of dots."""
    for report in terminalreporter.stats.get("skipped", []):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        if "NOT TESTED" in reason:
            terminalreporter.write_sep("!", reason.removeprefix("Skipped: "), red=True, bold=True)
