# make run    installs into .venv and serves the page (PORT and BROWSER are respected)
# make check  installs what the tests need, runs every check but those in the browser
# make test   the same, and finds or installs Chromium for those in the browser
# make docs   remakes the pages of docs/ that follow from the code
# make bench  prints the benches beside their references

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
NPM := PATH="$(CURDIR)/$(BIN):$$PATH" npm
PYTEST := $(BIN)/python -m pytest -q -n auto --dist worksteal

.PHONY: run check test lint javascript quick whole bench docs picture browser clean

run: $(VENV)/.run
	$(BIN)/sixthrow serve

# lint keeps one core busy, tests wait at times: both at once

check: $(VENV)/.test node_modules/.made
	@$(MAKE) --no-print-directory -j2 lint quick

test: browser node_modules/.made
	@$(MAKE) --no-print-directory -j2 lint whole

quick: $(VENV)/.test
	$(PYTEST) -m "not browser"

whole: $(VENV)/.test
	$(PYTEST)

lint: $(VENV)/.test javascript
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

javascript: node_modules/.made
	$(NPM) run --silent lint
	$(NPM) run --silent types
	$(NPM) run --silent unit

bench: $(VENV)/.test
	$(BIN)/python -m pytest -q -s tests/benchmarks --benchmark-only

docs: $(VENV)/.test
	$(BIN)/python docs/make_design_file.py
	$(BIN)/python docs/make_validation.py

picture: $(VENV)/.test browser
	$(BIN)/python docs/make_picture.py

browser: $(VENV)/.test
	@$(BIN)/python tests/browser/chromium.py --install

$(VENV)/bin/python:
	$(PYTHON) -m venv $(VENV)

$(VENV)/.run: pyproject.toml | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	@touch $@

$(VENV)/.test: pyproject.toml | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e ".[test]"
	@touch $@ $(VENV)/.run

node_modules/.made: package.json .npmrc | $(VENV)/.test
	$(NPM) install --silent
	@touch $@

clean:
	rm -rf $(VENV) node_modules build *.egg-info
