#!/bin/sh
# Installs what the tests need beside Go: programs that read papers back and
# general-purpose solvers that results are compared with. Debian or Ubuntu.
set -eu
need=""
want() { command -v "$1" >/dev/null 2>&1 || need="$need $2"; }
want pdftotext poppler-utils
want qpdf qpdf
want zbarimg zbar-tools
want glpsol glpk-utils
want ccx calculix-ccx
want ssconvert gnumeric
want node nodejs
want npm npm
want chromium chromium
if [ -n "$need" ]; then
  echo "installing:$need"
  as_root=""
  [ "$(id -u)" -eq 0 ] || as_root="sudo"
  if ! $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends $need >/tmp/seamwright-setup.log 2>&1; then
    $as_root apt-get update >>/tmp/seamwright-setup.log 2>&1
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends $need >>/tmp/seamwright-setup.log 2>&1 || { tail -n 20 /tmp/seamwright-setup.log; exit 1; }
  fi
fi

# Readers of the 3D exports, pinned by their lock file.
tools="$(dirname "$0")/../exports/testtools"
if [ ! "$tools/node_modules/.package-lock.json" -nt "$tools/package-lock.json" ]; then
  (cd "$tools" && npm ci --no-audit --no-fund)
fi
