#!/bin/sh
# Makes .venv with the first Python from 3.11 on that this machine has.
# Usage: venv.sh FOLDER; PYTHON=… names one to use.
set -eu

fits() {
    "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1
}

for python in ${PYTHON:-} python3 python3.11 python3.12 python3.13; do
    if fits "$python"; then
        break
    fi
    python=""
done
if [ -z "$python" ]; then
    echo "Python 3.11 or newer is needed; PYTHON=/path/to/it names one." >&2
    exit 1
fi
if ! "$python" -c 'import ensurepip, venv' >/dev/null 2>&1; then
    # Debian packs these apart.
    package="python$("$python" -c 'import sys; print("%d.%d" % sys.version_info[:2])')-venv"
    if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
        echo "Installing $package"
        apt-get update -qq
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
            "$package" >/dev/null
    else
        echo "$python cannot make virtual environments: sudo apt-get install $package" >&2
        exit 1
    fi
fi
"$python" -m venv "$1"
