"""What axe finds on the page, in light and in dark: nothing."""

import pytest
from axe_playwright_python.sync_playwright import Axe

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [1440, 390])
def test_axe_finds_nothing(browser, address, theme, width):
    context = browser.new_context(
        viewport={"width": width, "height": 900 if width > 400 else 844}, color_scheme=theme
    )
    page = context.new_page()
    page.goto(address)
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0", timeout=30_000)
    assert page.evaluate("document.documentElement.dataset.theme") == theme
    violations = Axe().run(page).response["violations"]
    context.close()
    assert [(one["id"], one["nodes"][0]["html"][:120]) for one in violations] == []
