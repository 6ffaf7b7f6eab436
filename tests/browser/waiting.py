"""Waiting until a page shows what it should, for data and never for a time."""

from playwright.sync_api import Page


def wait_until_painted(page: Page) -> None:
    """Wait until a page has painted and shows the design that its tab kept, if any."""
    page.wait_for_function(
        """window.sixthrow && window.sixthrow.painted > 0
           && !document.documentElement.classList.contains("restoring")""",
    )


def wait_until_drawn(page: Page) -> None:
    """Wait until the crank train's page has drawn and fed its plots."""
    wait_until_painted(page)
    page.wait_for_function(
        "window.sixthrow.modelNamed('rod_force_data')?.data.y2.length > 0",
    )
