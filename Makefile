# Two commands: `make run` opens the app with the demo project, `make test` sets everything up and passes the tests.
PYTHON ?= python3
PORT ?= 8321
BIN := .venv/bin

.PHONY: run test check lint types layers unit browser offline studies bench screenshots reference clean

run: .venv/.run
	$(BIN)/loamwright serve --demo --notebook .demo/bench.notebook --port $(PORT)

test: .venv/.dev
	$(MAKE) check unit browser offline

check: lint types layers

lint: .venv/.dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: .venv/.dev
	$(BIN)/mypy

layers: .venv/.dev
	$(BIN)/lint-imports

unit: .venv/.dev
	$(BIN)/python -m pytest -q -m "not browser"

browser: .venv/.dev
	$(BIN)/python tools/browser.py
	$(BIN)/python -m pytest -q -m browser --ignore-glob="*/test_offline_*"

# The bench with the network cut, answers lost, phones restarted: slow, because retries wait.
offline: .venv/.dev
	$(BIN)/python tools/browser.py
	$(BIN)/python -m pytest -q tests/browser/test_offline_bench.py tests/browser/test_offline_faults.py

# Long simulations, with their results committed beside them.
studies: .venv/.dev
	$(BIN)/python -m studies.jar.run
	$(BIN)/python -m studies.apart.run
	$(BIN)/python -m studies.kills.run

bench: .venv/.dev
	$(BIN)/python -m benchmarks.run

screenshots: .venv/.dev
	$(BIN)/python tools/browser.py
	$(BIN)/python -m tools.screenshots

# The command reference, made from the commands themselves.
reference: .venv/.dev
	$(BIN)/python tools/command_reference.py
	$(BIN)/python tools/kind_reference.py
	$(BIN)/python -m tools.messages

.venv/.run: pyproject.toml requirements.lock tools/bootstrap.py
	$(PYTHON) tools/bootstrap.py requirements.lock
	touch $@

.venv/.dev: pyproject.toml requirements-dev.lock tools/bootstrap.py
	$(PYTHON) tools/bootstrap.py requirements-dev.lock
	touch $@ .venv/.run

clean:
	rm -rf .venv .demo .mypy_cache .ruff_cache .pytest_cache test-artifacts
