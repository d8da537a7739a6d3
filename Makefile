# Everything runs from a private .venv made here; nothing outside this folder is touched.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: run install dev test lint bench prove pictures readme lock data clean

run: install           ## start the program on the demonstration, or on FILE=my-van.toml (no terminal: prints the plan)
	@$(BIN)/ampledger $(FILE)

install: $(VENV)/.installed      ## the environment alone
dev: $(VENV)/.dev                ## the environment with the tools of the contributors

$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Ampledger needs Python 3.11 or newer; set PYTHON=python3.12, for instance."; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/.installed: requirements.lock | $(BIN)/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --editable .
	@touch $@

$(VENV)/.dev: requirements-dev.lock | $(BIN)/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --editable .
	@touch $@ $(VENV)/.installed

# One worker more than most small machines have cores: tests of the screen wait now and then.
test: dev              ## the whole test suite
	$(BIN)/python -m pytest -n 3

lint: dev              ## style, types, and the arrows between the rooms
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: dev             ## the figures of the speed table in README
	$(BIN)/python -m tests.bench

prove: dev             ## slow proofs: long fuzzing, kill -9 storms
	$(BIN)/python -m pytest -n 2 tests/prove

pictures: dev          ## renew the pictures in docs of README
	$(BIN)/python -m tests.pictures

readme: dev            ## renew the tables and printed outputs in README
	$(BIN)/python -m tests.readme

lock:                  ## renew the lock files from pyproject.toml
	$(PYTHON) -m venv $(VENV)-lock && $(VENV)-lock/bin/python -m pip install --quiet uv
	$(VENV)-lock/bin/uv pip compile --universal --python-version 3.11 --generate-hashes --no-annotate --quiet pyproject.toml -o requirements.lock
	$(VENV)-lock/bin/uv pip compile --universal --python-version 3.11 --generate-hashes --no-annotate --quiet --extra dev pyproject.toml -o requirements-dev.lock

clean:
	rm -rf $(VENV) $(VENV)-lock
