"""The pages for readers are true: made from the code, or tested against it."""

from docs.make_design_file import PAGE as DESIGN_FILE
from docs.make_design_file import design_file_page


def test_the_page_on_the_design_file_is_current() -> None:
    """If it is not: python docs/make_design_file.py."""
    assert DESIGN_FILE.read_text(encoding="utf-8") == design_file_page()
