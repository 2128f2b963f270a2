# Thin calls of run.py, so that Windows (py run.py demo) has the same commands.
PYTHON ?= python3
ARGS ?=

.PHONY: help setup demo test test-long lint bench docs pictures

help:
	@$(PYTHON) run.py help

setup demo test test-long lint bench docs pictures:
	@$(PYTHON) run.py $@ $(ARGS)
