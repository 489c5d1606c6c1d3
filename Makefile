# Two commands set everything up from nothing: `make demo` builds the demonstration board, `make test` passes all tests.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
READY  := $(VENV)/.ready
TESTS  := $(VENV)/.ready-for-tests

.PHONY: demo test quick lint pages bench trials peers mutation clean

demo: $(READY)
	$(BIN)/boardgen build templates/four-way.toml

test: lint
	$(BIN)/python -m pytest -n auto --dist loadgroup --no-loadscope-reorder -q

# lint of what changed and the quick tests of the folders that changed
quick: $(TESTS)
	$(BIN)/python tests/quick.py

lint: $(TESTS)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check -q .
	$(BIN)/mypy
	$(BIN)/lint-imports

# writes the pages and pictures under docs/ that are made from the program
pages: $(TESTS)
	$(BIN)/python docs/generate.py
	$(BIN)/python docs/page_picture.py

# all of them run, whichever falls short
bench: $(TESTS)
	@failed=0; for each in bench rf_bench board_bench order_bench station_bench build_bench explore_bench page_bench; do \
		$(BIN)/python tests/bench/$$each.py || failed=1; done; exit $$failed

# what explore lists against a full enumeration, and faults that are found by sweeps: minutes, and hours
trials: $(TESTS)
	@failed=0; for each in explore_enumeration measured_bench; do \
		$(BIN)/python tests/bench/$$each.py || failed=1; done; exit $$failed

# the outside programs that tests compare with and what PDF needs of the system, on Debian
peers:
	apt-get update -q
	apt-get install -q -y --no-install-recommends chromium kicad kicad-footprints libpango-1.0-0 libpangoft2-1.0-0 libreoffice-calc ngspice

# a change of 2 % in any constant of the handbook, and of what sizes or predicts, must break a test
mutation: $(TESTS)
	$(BIN)/python tests/mutation.py

clean:
	rm -rf $(VENV) build dist
	find output -mindepth 1 ! -name README.md -delete

# bytecode is written where a module is first used: of the libraries, a tenth is
$(READY): pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	PIP_CONSTRAINT=constraints.txt $(BIN)/python -m pip install -q --disable-pip-version-check --no-compile -e .
	touch $(READY)

$(TESTS): $(READY)
	PIP_CONSTRAINT=constraints.txt $(BIN)/python -m pip install -q --disable-pip-version-check --no-compile -e ".[test]"
	touch $(TESTS)
