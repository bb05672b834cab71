#!/bin/sh
# Makes sure of the system libraries that the PDF writer loads, and of one plain font.
# Root on Debian or Ubuntu gets them installed; everybody else gets one clear line.
# Usage: libraries.sh PYTHON
set -eu
packages="libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fontconfig fonts-dejavu-core"

works() {
    "$1" -c 'import weasyprint; weasyprint.HTML(string="<p>ok").write_pdf()' \
        >/dev/null 2>&1 && [ -n "$(fc-list 2>/dev/null | head -n 1)" ]
}

if works "$1"; then
    exit 0
fi
if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    echo "Installing for the PDF writer: $packages"
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq
    # shellcheck disable=SC2086  # a list of names
    apt-get install -y -qq --no-install-recommends $packages >/dev/null
    if works "$1"; then
        exit 0
    fi
fi
echo "The PDF writer cannot start. Install these, then run the same command again:" >&2
echo "  sudo apt-get install $packages" >&2
exit 1
