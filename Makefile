# `make` or `make help` lists what there is. Nothing is installed outside .venv/ except,
# when run as root, the few system libraries that the PDF writer needs.

PY := .venv/bin/python
BESIDE_SERVERS := $(PY) -m firm.embedded run
BESIDE_TEST_SERVERS := $(PY) -m firm.embedded --tests run
INSTALL := $(PY) -m pip install --quiet --disable-pip-version-check --require-hashes
# More arguments for pytest: make test ARGS="tests/findings -x"
ARGS ?=

.DEFAULT_GOAL := help
.NOTPARALLEL:
.PHONY: help setup demo walkthrough test browser-test by-thumb bench sync-faults tamper-drill release-kills check lock stop clean

help: ## Say what can be made
	@awk -F ':.*## ' '/^[a-z-]+:.*## / {printf "  make %-14s %s\n", $$1, $$2}' Makefile

setup: .venv/ready-to-test ## Make .venv with all packages; system libraries if root

demo: .venv/ready-to-run ## Load the invented firm, run the main job once, then serve it
	@exec $(BESIDE_SERVERS) $(PY) manage.py demo

walkthrough: .venv/ready-to-run ## The same without serving; prints where the PDF is
	@exec $(BESIDE_SERVERS) $(PY) manage.py walkthrough

test: .venv/ready-to-test ## Run the tests
	@exec $(BESIDE_TEST_SERVERS) $(PY) -m pytest $(ARGS)

browser-test: .venv/ready-to-test ## Run the tests that drive headless Chromium
	@exec $(BESIDE_TEST_SERVERS) $(PY) -m pytest -m "browser and not by_thumb" $(ARGS)

by-thumb: .venv/ready-to-test ## Enter the demo visit through the screens, count the taps
	@exec $(BESIDE_TEST_SERVERS) $(PY) -m pytest -m by_thumb -s $(ARGS)

bench: .venv/ready-to-test ## Print how long things take, with ratios
	@exec $(BESIDE_TEST_SERVERS) $(PY) -m tests.bench

KILLS ?= 60
sync-faults: .venv/ready-to-test ## Phones against a server while everything breaks; figure last
	@$(BESIDE_TEST_SERVERS) $(PY) -m tests.faults.in_browser --kills $(KILLS)
	@exec $(BESIDE_TEST_SERVERS) $(PY) -m tests.faults $(ARGS)

TAMPERINGS ?= 1000
tamper-drill: .venv/ready-to-test ## Tamper with released evidence at random; figure last
	@exec $(BESIDE_TEST_SERVERS) $(PY) -m tests.drills.tamper --count $(TAMPERINGS) $(ARGS)

release-kills: KILLS := $(if $(filter command line,$(origin KILLS)),$(KILLS),50)
release-kills: .venv/ready-to-test ## Kill the worker that releases at random; figure last
	@exec $(BESIDE_TEST_SERVERS) $(PY) -m tests.drills.kills --kills $(KILLS) $(ARGS)

check: .venv/ready-to-test ## Read the code: style, types, layers, templates, settings
	@exec $(BESIDE_TEST_SERVERS) sh firm/deploy/check.sh

lock: .venv/ready-to-test ## Pin the packages anew from the groups in pyproject.toml
	@$(PY) .ci/lock.py

stop: ## Stop the embedded servers; their data stays
	@if [ -x $(PY) ]; then $(PY) -m firm.embedded stop; $(PY) -m firm.embedded --tests stop; fi

clean: stop ## Remove .venv, caches and test data; the firm's data in var/ stays
	@rm -rf .venv .mypy_cache .ruff_cache .pytest_cache .import_linter_cache .hypothesis var/tests
	@find firm inspections findings reports tests -name __pycache__ -prune -exec rm -rf {} +

.venv/pyvenv.cfg:
	@sh firm/deploy/venv.sh .venv

.venv/ready-to-run: requirements.txt firm/deploy/libraries.sh | .venv/pyvenv.cfg
	@echo "Installing the packages of requirements.txt into .venv (about a minute)"
	@$(INSTALL) -r requirements.txt
	@sh firm/deploy/libraries.sh $(PY)
	@touch $@

.venv/ready-to-test: tests/requirements.txt .venv/ready-to-run
	@echo "Installing the packages of tests/requirements.txt into .venv"
	@$(INSTALL) -r tests/requirements.txt
	@touch $@
