"""Bad input through every door of the page: a message, and the last good picture stays."""

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import design_text, load_design

pytestmark = pytest.mark.browser

COLUMN = """([name, column]) => Array.from(
  window.sixthrow.modelNamed(name)?.data[column])"""
HOSTILE = [
    "<img src=x onerror=window.hit=1>",
    "<script>window.hit=1</script>",
    "[x](javascript:window.hit=1)",
    "{{7*7}}",
    "@{x}",
    "\u202egnp.exe",
    "n" * 10_000,
]


def rod_force(page):
    return np.array(page.evaluate(COLUMN, ["rod_force_data", "y2"]))


def upload(page, label, name, text):
    data = text if isinstance(text, bytes) else text.encode()
    page.get_by_label(label, exact=True).last.set_input_files(
        {"name": name, "mimeType": "text/plain", "buffer": data}
    )


def message(page):
    return page.locator(".message")


def first_text():
    return design_text(load_design(next(iter(demo_paths().values()))))


@pytest.mark.parametrize(
    ("label", "value"),
    [("Stroke", "99999"), ("Stroke", "-1"), ("Stroke", ""), ("Bore", "1e308"), ("Rod length", "40"),
     ("Speed", "0"), ("Speed", "1e9"), ("Engine load", "101")],
)  # fmt: skip
def test_wrong_value_is_refused_beside_its_control(opened_once, label, value):
    page, seen = opened_once
    before = rod_force(page)
    field = page.get_by_label(label, exact=True)
    field.fill(value)
    field.press("Enter")
    control = page.locator(".control").filter(has=page.get_by_label(label, exact=True))
    problem = control.locator(".problem:visible")
    problem.wait_for()
    assert "must be" in problem.inner_text()
    assert np.array_equal(rod_force(page), before)
    field.press("Escape")
    problem.wait_for(state="hidden")
    assert seen.errors == []


def test_hostile_name_is_shown_as_text(opened):
    page, seen = opened
    for name in HOSTILE:
        open_design_named(page, name)
        shown = page.locator(".title").inner_text()
        assert 0 < len(shown) <= 120, name[:40]
        assert "\u202e" not in shown
        assert page.evaluate("window.hit") is None, name[:40]
    assert seen.errors == []


def open_design_named(page, name):
    """Open the first demo under another name, and wait until the title is another."""
    old = load_design(next(iter(demo_paths().values()))).name
    before = page.locator(".title").text_content()
    text = first_text().replace(f'name = "{old}"', f"name = '''{name}'''", 1)
    upload(page, "Open design", "design.toml", text)
    page.wait_for_function(
        """old => { const find = (root) => { for (const n of root.querySelectorAll('*')) {
            if (n.matches('.title')) return n;
            const f = n.shadowRoot && find(n.shadowRoot); if (f) return f; }
            return null; };
            return find(document).textContent !== old; }""",
        arg=before,
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "schema"),
        ("schema = 1", "layout"),
        ("schema = [[[[", "not a TOML file"),
        (b"\xff\xfe\x00s", "UTF-8"),
        ("x" * 1_500_000, "must be at most 1 MB"),
    ],
)
def test_bad_design_file_says_what_is_wrong_and_keeps_the_picture(opened_once, text, words):
    page, seen = opened_once
    before = rod_force(page)
    name = f"wrong-{words.split()[0]}.toml"  # so that no message before it is taken for its own
    upload(page, "Open design", name, text)
    message(page).filter(has_text=name).filter(has_text=words).wait_for()
    assert "Nothing was changed" in message(page).inner_text()
    assert np.array_equal(rod_force(page), before)
    assert seen.errors == []


def test_saved_design_opens_again_unchanged(opened, tmp_path):
    page, _ = opened
    field = page.get_by_label("Bore", exact=True)
    field.fill("91")
    field.press("Enter")
    page.get_by_role("button", name="Undo", exact=True).and_(page.locator(":enabled")).wait_for()
    with page.expect_download() as download:
        page.locator("summary", has_text="File").click()
        page.get_by_role("button", name="Save design").click()
    path = tmp_path / "saved.toml"
    download.value.save_as(path)
    assert load_design(path).cylinder.bore == pytest.approx(0.091)


def test_two_pages_do_not_cross(context, address, opened):
    page, _ = opened
    before = rod_force(page)
    other = context.new_page()
    other.goto(f"{address}train")
    other.wait_for_function(
        "window.sixthrow && window.sixthrow.painted > 0 && "
        "window.sixthrow.modelNamed('rod_force_data')?.data.y2.length > 0"
    )
    field = other.get_by_label("Stroke", exact=True)
    field.fill("100")
    field.press("Enter")
    other.wait_for_function(
        """before => window.sixthrow.modelNamed("rod_force_data")?.data.y2[0]
            !== before""",
        arg=float(before[0]),
    )
    other.close()
    assert np.array_equal(rod_force(page), before)
