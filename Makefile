# Every command of the project. `make` alone lists them.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
RUN := $(VENV)/.ready-to-run
TEST := $(VENV)/.ready-to-test
LOCKING := --generate-hashes --no-emit-index-url --no-annotate --no-header --universal \
	--python-version 3.11 --quiet

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help setup run test check lint fast browser bench docs slips soak locks clean

help:  ## list the targets
	@sed -n 's/^\([a-z]*\):.*##/\1\t/p' Makefile

setup: $(TEST)  ## environment for work on the project

run: $(RUN)  ## check the example machine and write its report
	@sh tools/assets.sh $(BIN) || echo "The desk's scripts could not be fetched: it works without, page by page."
	@mkdir -p out
	@$(BIN)/layshaft check examples/harbour-light --report out/harbour-light.html || test $$? -eq 1

test: $(TEST) browser  ## all tests
	$(BIN)/python -m pytest -n 2 --dist worksteal --durations=10

check: lint fast  ## style, types, imports and the tests that take seconds

lint: $(TEST)
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

fast: $(TEST)
	@start=$$(date +%s); \
	$(BIN)/python -m pytest -n 2 -m "not browser and not slow" || exit $$?; \
	took=$$(( $$(date +%s) - start )); \
	test $$took -lt 60 || echo "The fast tests took $$took s, more than 60 s: mark the longest as slow."

browser:
	@sh tools/chromium.sh

bench: $(TEST) browser  ## own speed beside a peer's, that of whole commands, and of the desk
	$(BIN)/python benchmarks/run.py
	$(BIN)/python benchmarks/desk.py

docs: $(TEST)  ## reference pages, from the code
	$(BIN)/python tools/docs.py

slips: $(TEST)  ## plant one fault at a time; the published checks must notice
	$(BIN)/python tools/slips.py --lock

soak: $(TEST)  ## property tests with fresh examples, many times as many
	HYPOTHESIS_PROFILE=soak $(BIN)/python -m pytest -n 2 -m "not browser and not slow"

locks: $(TEST)  ## resolve both lock files again
	$(BIN)/uv pip compile pyproject.toml $(LOCKING) -o locks/run.txt
	$(BIN)/uv pip compile pyproject.toml $(LOCKING) --all-extras --group test --group lint \
		-c locks/run.txt -o locks/test.txt
	$(BIN)/uv pip compile $(LOCKING) --group page -o locks/page.txt

clean:  ## remove what can be made again
	rm -rf $(VENV) node_modules src/layshaft/faces/desk/assets out build dist .pytest_cache .mypy_cache .ruff_cache .import_linter_cache
	find src tests tools benchmarks -name __pycache__ -type d -prune -exec rm -rf {} +

$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
		{ echo "Layshaft needs Python 3.11 or newer: make PYTHON=/path/to/python3.11 ..."; exit 1; }
	@$(PYTHON) -m venv $(VENV) || \
		{ echo "No environment could be made: install Python's venv module (Debian: python3-venv)."; exit 1; }

$(RUN): locks/run.txt pyproject.toml | $(BIN)/python
	@sh tools/install.sh $(BIN) locks/run.txt
	@touch $@

$(TEST): locks/test.txt pyproject.toml package-lock.json | $(BIN)/python
	@sh tools/install.sh $(BIN) locks/test.txt
	@sh tools/assets.sh $(BIN)
	@touch $@
