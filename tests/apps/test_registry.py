"""The pages' registry: every page is made, found by its label, and where it is said to be."""

import json
import logging
from functools import cache

import pytest
from bokeh.document import Document
from bokeh.models import ImportedStyleSheet, Plot

from apps.components.charts import Charts
from apps.page_registry import PAGES, STEP_PAGES, PageEntry, page_labelled
from apps.pages.design_page import DesignPage, first_design
from apps.server import page_class
from apps.storyboard.storyboard import PICTURES

per_page = pytest.mark.parametrize("page", PAGES, ids=lambda page: page.label)


@cache
def made(page: PageEntry) -> DesignPage:
    """A page as it opens."""
    return page_class(page)(first_design())


@cache
def document_of(page: PageEntry) -> Document:
    """The document of a page as it opens."""
    return made(page).template().server_doc(Document())


@per_page
def test_a_page_is_of_the_class_that_is_named(page):
    named = page_class(page)
    assert issubclass(named, DesignPage)
    assert named.entry is page


@per_page
def test_a_page_s_document_is_valid(page, caplog):
    document = document_of(page)
    with caplog.at_level(logging.WARNING):
        document.validate()
    assert len(document.roots) > 1
    assert [record.message for record in caplog.records] == []
    assert not list(document.select({"type": Plot}))  # figures are made in the browser


@per_page
def test_a_page_made_without_a_request_names_no_other_host(page):
    """As a page is made anew by the socket of a reader who comes back late."""
    document = document_of(page)
    sheets = [sheet.url for sheet in document.select({"type": ImportedStyleSheet})]
    assert sheets
    assert not [url for url in sheets if "//" in url]


@per_page
def test_every_chart_of_a_page_has_a_figure_there(page):
    figures = {item["name"] for item in json.loads(document_of(page).template_variables["figures"])}
    charts = getattr(made(page), "charts", None)
    charts = set(type(charts).param) - set(Charts.param) if charts else set()
    assert charts <= figures


@per_page
def test_a_page_is_found_by_its_label_and_the_one_it_had(page):
    assert page_labelled(page.label) is page
    assert page_labelled(page.former_label) in (page, None)
    assert page_labelled("") is None


def test_labels_and_addresses_are_each_of_one_page():
    labels = [one for page in PAGES for one in (page.label, page.former_label) if one]
    addresses = [page.address for page in PAGES]
    addresses += [page.former_address for page in PAGES if page.former_address]
    for names in (labels, addresses):
        assert len(set(names)) == len(names)


def test_pictures_of_steps_are_of_pages_that_make_steps():
    assert {label for _, label in PICTURES.values()} <= {page.label for page in STEP_PAGES}
