# `make` alone lists what can be done.  Every target does its own set-up.

PYTHON ?= python3
VENV   := .venv
HEAVY  := .venv-heavy
BIN    := $(VENV)/bin
WORKERS ?= 2

# The pins hold inside isolated builds too.
export PIP_CONSTRAINT := $(CURDIR)/constraints.txt
export PIP_DISABLE_PIP_VERSION_CHECK := 1
PIP_INSTALL := -m pip install --quiet -c constraints.txt

# The second geometry kernel's shared libraries, by their Debian names.
HEAVY_PACKAGES := libgl1 libx11-6 libexpat1
HEAVY_LIBRARIES := libGL.so.1 libX11.so.6 libexpat.so.1
# The browser that the page is tried in, by its Debian name.
BROWSER := chromium

.DEFAULT_GOAL := help
.NOTPARALLEL:
.PHONY: help setup demo page front test lint format types imports unit coverage bench performance fuzz faults test-oldest test-heavy browser errors commands wheel clean pictures gallery

help:  ## list the targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-12s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup: $(VENV)/.ready  ## make .venv with mouldgen and its test tools

demo: setup  ## build the shipped job boathouse-pegs into out/
	$(BIN)/mouldgen demo

page: setup front  ## open the page in the browser, for the jobs in out/
	@mkdir -p out
	@echo 'The page runs until Ctrl-C.'
	@$(BIN)/mouldgen page --folder out || [ $$? = 130 ]

front: setup  ## make the page's scripts from web/, type-checked, where they are not up to date
	@package="$$($(BIN)/python hatch_build.py --requires)" && \
	  { [ -z "$$package" ] || $(BIN)/python $(PIP_INSTALL) "$$package"; }
	@$(BIN)/python hatch_build.py

test: setup lint types imports unit bench  ## everything that must pass before a change lands

lint: setup  ## style, banned calls, formatting
	$(BIN)/ruff check
	$(BIN)/ruff format --check

format: setup  ## put the code into its one form
	$(BIN)/ruff check --fix
	$(BIN)/ruff format

types: setup  ## mypy, strict
	$(BIN)/mypy

imports: setup  ## the floors: who may import whom
	$(BIN)/lint-imports --no-logo

unit: setup  ## the suite
	$(BIN)/python -m pytest -n $(WORKERS) --dist loadfile

coverage: setup  ## the suite once more with branch coverage and its gate: twice as long
	$(BIN)/python -m pytest -n $(WORKERS) --dist loadfile --cov --cov-report=term:skip-covered

bench: setup  ## start-up and running times side by side with others; fails well over the bars
	$(BIN)/python -m benchmarks.start_up
	$(BIN)/python -m pytest -m bench -p no:xdist --log-cli-level=INFO

performance: setup $(HEAVY)/.ready  ## measure everything anew and write docs/performance.md, on a quiet machine
	$(BIN)/python -m benchmarks.body_and_lid --heavy $(HEAVY)/bin/python --keep
	$(BIN)/python -m benchmarks.shares --keep
	$(BIN)/python -m benchmarks.growth --keep
	$(BIN)/python -m benchmarks.many_variants 1000 --rounds 1 --keep
	$(BIN)/python -m benchmarks.pour_and_reconstruction --keep
	$(BIN)/python -m benchmarks.beds_and_pots --keep
	$(BIN)/python -m benchmarks.tune_and_statsmodels --keep
	$(BIN)/python -m docs.make_performance

fuzz: export OPENBLAS_NUM_THREADS := 1
fuzz: setup $(HEAVY)/.ready  ## long trials with broken, strange and hostile input: hours
	$(BIN)/python -m trials.job_files 100000
	$(BIN)/python -m trials.built_jobs 20000
	$(BIN)/python -m trials.mesh_files 50000
	$(BIN)/python -m trials.typed_units 200000
	$(BIN)/python -m trials.log_imports 50000
	$(BIN)/python -m trials.page_requests 20000
	$(HEAVY)/bin/python -m trials.guided --seconds 600

faults: setup front  ## kills at random moments, full disks, clocks that jump
	$(BIN)/python -m trials.kills 360
	$(BIN)/python -m trials.troubles 200
	$(BIN)/python -m trials.hostile_files

OLDEST := .venv-oldest

test-oldest:  ## the parts that lean on libraries, with the oldest versions of these
	$(PYTHON) -m venv --clear $(OLDEST)
	PIP_CONSTRAINT= $(OLDEST)/bin/python -m pip install --quiet -c constraints-oldest.txt -e '.[test]'
	$(OLDEST)/bin/python -m pytest -n $(WORKERS) --dist loadfile -o filterwarnings=default \
	  --deselect tests/unit/job/test_job_schema.py::test_the_shipped_schema_is_the_generated_one \
	  tests/unit/castings tests/unit/catalogue tests/unit/files tests/unit/job tests/unit/packing \
	  tests/unit/page tests/unit/solid

test-heavy: $(HEAVY)/.ready front browser  ## a second geometry kernel, and the page in a browser
	cd web && export PATH="$$PATH:$(CURDIR)/$(BIN)" && \
	  { [ -d node_modules ] || npm ci --no-audit --no-fund; } && npm run check && npm test -- --passWithNoTests
	$(HEAVY)/bin/python -m pytest -m heavy

errors: setup  ## write docs/errors.md anew from the error tree
	$(BIN)/python -m docs.make_errors

commands: setup  ## write docs/commands.md and docs/pot-card.md anew from the commands
	$(BIN)/python -m docs.make_commands
	$(BIN)/python -m docs.make_pot_card

gallery: setup  ## build the jobs of docs/gallery.md anew and write that page
	$(BIN)/python -m docs.make_gallery

pictures: setup  ## draw the pictures in docs/ anew with the commands a reader has
	$(BIN)/python -m docs.make_pictures

wheel: setup front  ## the wheel and the source archive, with the page, in dist/
	$(BIN)/python -m build --no-isolation --outdir dist .

clean:  ## remove what can be made again; keeps the environments and out/
	rm -rf build dist htmlcov .coverage .coverage.* .hypothesis .import_linter_cache
	rm -rf mouldgen/page/static
	rm -rf .mypy_cache .pytest_cache .ruff_cache
	find mouldgen tests benchmarks trials docs -name __pycache__ -type d -prune -exec rm -rf {} +

# ---------------------------------------------------------------- environments

browser:
	@command -v $(BROWSER) >/dev/null || { \
	  if [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
	    apt-get update -qq && \
	    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $(BROWSER); \
	  else echo "$(BROWSER) is missing, so the page is not tried in a browser;" \
	    "on Debian: apt-get install $(BROWSER)"; fi; }

# Some systems ship python3 without the venv module; as root it is fetched, else we say how.
define make_venv
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "mouldgen needs Python 3.11 or newer; '$(PYTHON)' is: $$($(PYTHON) --version 2>&1)."; \
	  echo "Name another one:  make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { \
	  if [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
	    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq python3-venv; \
	  else echo "Python's venv module is missing; on Debian: apt-get install python3-venv"; exit 1; fi; }
	$(PYTHON) -m venv $(1)
endef

$(VENV)/.ready: pyproject.toml constraints.txt
	$(call make_venv,$(VENV))
	$(BIN)/python $(PIP_INSTALL) hatchling editables
	$(BIN)/python $(PIP_INSTALL) --no-build-isolation -e '.[test]'
	@touch $@

$(HEAVY)/.ready: pyproject.toml constraints.txt
	@missing=0; for library in $(HEAVY_LIBRARIES); do \
	  PATH="$$PATH:/sbin:/usr/sbin" ldconfig -p 2>/dev/null | grep -q "$$library" || missing=1; done; \
	if [ $$missing = 1 ]; then \
	  if [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
	    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $(HEAVY_PACKAGES); \
	  else echo "If the second kernel does not load: apt-get install $(HEAVY_PACKAGES)"; fi; fi
	$(call make_venv,$(HEAVY))
	$(HEAVY)/bin/python $(PIP_INSTALL) hatchling editables
	$(HEAVY)/bin/python $(PIP_INSTALL) --no-build-isolation -e '.[test,heavy]'
	@touch $@
