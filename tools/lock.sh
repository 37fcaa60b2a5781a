#!/bin/sh
# Makes the two hashed lock files again from pyproject.toml (maintainers only; needs `uv` on the path).
set -eu
cd "$(dirname "$0")/.."
flags="--universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-annotate --no-header --quiet"
uv pip compile $flags --group build -o requirements.lock pyproject.toml
uv pip compile $flags --group build --group dev -o requirements-dev.lock pyproject.toml
