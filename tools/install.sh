#!/bin/sh
# install.sh BIN LOCK: what LOCK lists, hashes checked, then the project itself, editable.
set -eu
bin=$1
lock=$2
if [ ! -x "$bin/uv" ]; then
    "$bin/python" -m pip install --quiet --disable-pip-version-check uv ||
        echo "The fast installer is not to be had; going on with pip, which takes longer."
fi
if [ -x "$bin/uv" ]; then
    "$bin/uv" pip install --quiet --python "$bin/python" --require-hashes -r "$lock"
    "$bin/uv" pip install --quiet --python "$bin/python" --no-deps -e .
else
    "$bin/python" -m pip install --quiet --disable-pip-version-check --require-hashes -r "$lock"
    "$bin/python" -m pip install --quiet --disable-pip-version-check --no-deps -e .
fi
