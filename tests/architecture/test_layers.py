"""Imports go down only: the contracts of the package, run as a test."""

import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_every_contract_is_kept() -> None:
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"]
    assert f"Contracts: {len(contracts)} kept, 0 broken." in done.stdout


def test_every_room_has_its_place_in_the_layers() -> None:
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"]
    layers = next(each["layers"] for each in contracts if each["type"] == "layers")
    placed = {name.strip() for layer in layers for name in layer.split("|")}
    package = ROOT / "src" / "loamwright"
    rooms = {f"loamwright.{each.stem}" for each in package.iterdir() if each.suffix == ".py" or (each / "__init__.py").exists()}
    rooms |= {f"loamwright.engine.{each.name}" for each in (package / "engine").iterdir() if (each / "__init__.py").exists()}
    # The notebook has a contract of its own, data holds no code, and the engine is placed room by room.
    beside = {"loamwright.notebook", "loamwright.data", "loamwright.engine", "loamwright.__init__", "loamwright.__main__"}
    assert rooms - beside <= placed


def test_opening_the_notebook_loads_no_engine_and_no_door() -> None:
    code = "import sys, loamwright.notebook.store, loamwright.notebook.exchange as x; print(*[m for m in sys.modules if m.startswith('loamwright.')])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    rooms = {name.split(".")[1] for name in done.stdout.split()}
    assert rooms == {"notebook", "units", "tables", "errors"}
