"""The shell as a person uses it: one real notebook in a temporary folder, every command through its entry point."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from loamwright.cli.main import main

Run = Callable[..., Result]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "bench.notebook"


@pytest.fixture
def run(path: Path) -> Run:
    """`run("dig", "show")` calls the command on the test's own notebook."""
    runner = CliRunner(env={"LOAMWRIGHT_NOTEBOOK": str(path), "LOAMWRIGHT_BY": "MB", "COLUMNS": "200"})

    def call(*words: str) -> Result:
        return runner.invoke(main, list(words), catch_exceptions=False)

    return call


@pytest.fixture
def done(run: Run) -> Callable[..., Any]:
    """Like `run`, with --json; the exit code must be 0 and the parsed JSON is given back."""

    def call(*words: str) -> Any:
        result = run(*words, "--json")
        assert result.exit_code == 0, result.output
        return json.loads(result.stdout)

    return call


@pytest.fixture
def wall(done: Callable[..., Any]) -> str:
    """A project with two soils at 4 % moisture by pan test, cement, a blend 5 : 2 and a mix of 6 %; its id."""
    project = str(done("new", "--bucket", "Bank sand", "--bucket", "Red clay", "--name", "School wall")["project"])
    for soil in ("Bank sand", "Red clay"):
        done("dig", "pan-test", "--about", soil, "--wet", "520 g", "--dry", "500 g")  # 20 / 500 = 4 %
    done("dig", "stabiliser", "--name", "Cement", "--type", "cement", "--bag-mass", "50 kg")
    done("blend", "blend", "--parts", "Bank sand=5", "--parts", "Red clay=2", "--name", "five to two")
    done("blend", "mix", "--blend", "five to two", "--stabiliser", "cement", "--dose", "6 %", "--basis", "of_total_dry_mix")
    return project
