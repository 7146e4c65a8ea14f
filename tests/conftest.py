"""What holds for every test: the nightly tier, and no silent skipping where everything must run."""

from __future__ import annotations

import os
from collections.abc import Generator

import pytest
from hypothesis import Phase, settings

# A timing never fails a test: how slow one example may be depends on the machine.
settings.register_profile("stepwell", deadline=None)
settings.load_profile("stepwell")
# For who wants to know only that something fails (tests/mutants): the smallest example is not looked for.
settings.register_profile("any-failure", deadline=None, phases=(Phase.explicit, Phase.generate))


# Nothing is kept between tests, or taken from what the user's own calls have kept.
os.environ["STEPWELL_CACHE"] = "off"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--nightly", action="store_true", help="run the slow tests too")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Without ``--nightly`` the slow tests are left out, not skipped, so that a skip always means something is missing."""
    if config.getoption("--nightly"):
        return
    slow = [item for item in items if item.get_closest_marker("nightly")]
    if slow:
        config.hook.pytest_deselected(items=slow)
        items[:] = [item for item in items if item not in slow]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """With STEPWELL_NO_SKIP=1 a skipped test is a failed one: an absent browser must not pass for a clean run."""
    report = yield
    if report.skipped and os.environ.get("STEPWELL_NO_SKIP") == "1" and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, and STEPWELL_NO_SKIP is set: {report.longrepr}"
    return report
