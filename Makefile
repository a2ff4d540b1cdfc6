# Every target sets up what it needs; only Python 3.11 or later and make are asked for.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready
DEMO ?= demo

.DEFAULT_GOAL := help
.PHONY: help demo test lint bench compare docs clean

help: ## list the targets
	@grep -E '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:[^#]*## /\t/'

$(READY): pyproject.toml constraints.txt
	@$(PYTHON) -c 'import sys; sys.exit("Python 3.11 or later is needed") if sys.version_info < (3, 11) else None'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[test]'
	@touch $@

demo: $(READY) ## make the invented fleet, read it in, fit, screen, write the quarterly page
	$(BIN)/loadrise --store $(DEMO)/fleet.duckdb demo --out $(DEMO)

lint: $(READY) ## ruff and the strict type check
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

test: lint ## all set-up, lint, type check and every test
	$(BIN)/python -m pytest

bench: $(READY) ## speed, size and accuracy beside named peers (SIZES="…" WHOLE="…" PANELS=…)
	$(BIN)/python -m tests.benchmarks --out build/bench speed \
		--sizes $(or $(SIZES),100000 1000000 10000000) --whole $(or $(WHOLE),1000000)
	$(BIN)/python -m tests.benchmarks --out build/bench compare --panels $(or $(PANELS),400)

compare: $(READY) ## renew “Detectors compared” in DEVELOPERS.md; minutes (PANELS=2000)
	$(BIN)/python -m tests.benchmarks --out build/bench compare --panels $(or $(PANELS),400) \
		--write DEVELOPERS.md

docs: $(READY) ## write the generated parts of DEVELOPERS.md anew
	$(BIN)/python -m analytics.cli.reference --write DEVELOPERS.md

clean: ## remove what the targets made
	rm -rf $(VENV) build demo .pytest_cache .mypy_cache .ruff_cache
