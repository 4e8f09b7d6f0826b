#!/bin/sh
# Writes the list of the image's packages anew, each at one version and with the hashes of its
# files, from the index that uv asks. Versions stay as they are unless --upgrade is given.
#   docker/lock.sh [--upgrade]
set -eu
cd "$(dirname "$0")/.."
# setuptools builds the service itself; one version for every Python that is taken.
echo 'setuptools>=77' | uv pip compile pyproject.toml - --extra postgres --extra workers \
    --universal --python-version 3.11 --fork-strategy fewest --generate-hashes \
    --no-emit-index-url --no-annotate --custom-compile-command docker/lock.sh \
    --quiet --output-file docker/requirements.lock "$@"
