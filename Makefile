# make run    installs into .venv and serves the page (PORT and BROWSER are respected)
# make test   installs what the tests need, finds or installs Chromium, runs every check
# make docs   remakes the pages of docs/ that follow from the code
# make bench  prints the benches beside their references

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: run test bench docs picture browser clean

run: $(VENV)/.run
	$(BIN)/sixthrow serve

test: $(VENV)/.test browser
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python -m pytest -q -n auto --dist loadfile

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

clean:
	rm -rf $(VENV) build *.egg-info
