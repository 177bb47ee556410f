# Everything a person or CI runs. `make` alone lists it.
# Two environments: .venv-run holds what a sheet needs, .venv what developing needs (and .venv-desk and
# .venv-mutants what `make desk` and `make mutants` need besides); each is built from its lock (locks/) once and
# again only when the lock changes.

PYTHON ?= $(shell command -v python3.11 || command -v python3)
DEV := .venv/bin
RUN := .venv-run/bin
PYTEST := $(DEV)/pytest -n auto --maxprocesses 8 --dist worksteal
PROJECT := pyproject.toml src/loopwright/__init__.py

.PHONY: help sheet desk test test-all installed wheel tools check format bench mutants lock clean
help:
	@echo 'make sheet     work examples/charge-or-help.toml into out/ as HTML and PDF'
	@echo 'make desk      open the desk on examples/ in the browser (FOLDER=week5/)'
	@echo 'make test      linters, types, import contracts and the quick tests (in CI: the slow ones too)'
	@echo 'make test-all  the same with every test, long sweeps too (half an hour)'
	@echo 'make check     linters, types and import contracts alone'
	@echo 'make format    put imports and layout right'
	@echo 'make bench     the benchmarks, with their bars'
	@echo 'make wheel     the wheel and the source package, into dist/'
	@echo 'make installed the wheel in an empty environment: a sheet in all forms, limits, figure, a working'
	@echo 'make mutants   faults made at random: does a test notice? (hours; FAULTS=60 SEED=2)'
	@echo 'make lock      resolve the dependencies anew into locks/'
	@echo 'make clean     remove what was built'

sheet: .venv-run/ready
	@$(RUN)/loopwright sheet examples/charge-or-help.toml -o out/charge-or-help.html
	@$(RUN)/loopwright sheet examples/charge-or-help.toml -o out/charge-or-help.pdf
	@echo 'The sheet is ready:'
	@echo '  $(CURDIR)/out/charge-or-help.html   (open it in a browser)'
	@echo '  $(CURDIR)/out/charge-or-help.pdf    (for print)'

FOLDER ?= examples
desk: .venv-desk/ready
	@.venv-desk/bin/loopwright desk '$(FOLDER)'

# In CI only long sweeps are left out; pytest comes last, so that its summary closes the output.
test: check tools $(if $(filter true,$(CI)),installed)
	@$(PYTEST) -m 'not $(if $(filter true,$(CI)),long,slow)'

test-all: check tools
	@$(PYTEST)

check: .venv/ready
	@$(DEV)/ruff check
	@$(DEV)/ruff format --check
	@$(DEV)/mypy src tests $(wildcard benchmarks)
	@$(DEV)/lint-imports --no-logo

format: .venv/ready
	@$(DEV)/ruff check --fix
	@$(DEV)/ruff format

wheel:
	@./.ci/build '$(PYTHON)' dist

installed: wheel
	@./.ci/wheel '$(PYTHON)' dist

bench: .venv/ready
	@$(DEV)/python -m benchmarks

# Without a test that notices, see docs/mutants.md.
FAULTS ?= 300
SEED ?= 1
mutants: .venv-mutants/ready
	@OPENBLAS_NUM_THREADS=1 .venv-mutants/bin/python -m tests.mutants --count $(FAULTS) --seed $(SEED)

.venv-mutants/ready: locks/mutants.txt $(PROJECT)
	@./.ci/environment '$(PYTHON)' .venv-mutants locks/mutants.txt --editable .
	@touch $@

.venv-desk/ready: locks/desk.txt $(PROJECT)
	@./.ci/environment '$(PYTHON)' .venv-desk locks/desk.txt --editable .
	@touch $@

.venv-run/ready: locks/run.txt $(PROJECT)
	@./.ci/environment '$(PYTHON)' .venv-run locks/run.txt --editable .
	@touch $@

.venv/ready: locks/dev.txt $(PROJECT)
	@./.ci/environment '$(PYTHON)' .venv locks/dev.txt --editable .
	@touch $@

tools:
	@./.ci/tools

# The only target that asks for newest releases. Hashes of every file of a release are kept, so one lock
# serves every kind of processor.
LOCKING := .venv-lock/bin/pip-compile --quiet --upgrade --strip-extras --allow-unsafe --generate-hashes \
	--no-header --no-annotate --no-emit-index-url --no-emit-trusted-host --no-emit-find-links \
	--no-emit-options --build-deps-for editable --resolver backtracking
lock:
	@$(PYTHON) -m venv .venv-lock
	@.venv-lock/bin/python -m pip install --quiet --disable-pip-version-check pip-tools
	@$(LOCKING) --output-file locks/run.txt pyproject.toml
	@$(LOCKING) --extra desk --constraint locks/run.txt --output-file locks/desk.txt pyproject.toml
	@$(LOCKING) --extra dev --extra bank --extra desk --extra film --extra large --extra many --constraint locks/desk.txt \
		--output-file locks/dev.txt pyproject.toml
	@$(LOCKING) --extra dev --extra bank --extra desk --extra film --extra large --extra many --extra mutants --constraint locks/dev.txt \
		--output-file locks/mutants.txt pyproject.toml
	@rm -r .venv-lock

clean:
	rm -rf .venv .venv-run .venv-desk .venv-mutants .venv-lock out build dist src/*.egg-info \
		.mypy_cache .ruff_cache .pytest_cache .hypothesis
