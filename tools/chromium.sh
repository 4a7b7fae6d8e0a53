#!/bin/sh
# A Chromium for the browser tests: the one on PATH, else Debian's package where we may install it.
# The names are those of `browser_on_path` in tests/conftest.py.
set -eu
found() {
    for name in chromium chromium-browser google-chrome; do
        command -v "$name" >/dev/null && return 0
    done
    return 1
}
found && exit 0
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    echo "Installing Debian's package chromium for the browser tests."
    log=$(mktemp)
    { apt-get update -qq && DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends chromium; } >"$log" 2>&1 || tail -n 5 "$log"
    rm -f "$log"
    found && exit 0
fi
echo "The browser tests need a Chromium: install the package chromium (or google-chrome) so that it is on PATH." >&2
exit 1
