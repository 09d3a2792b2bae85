#!/usr/bin/env bash
# What the tests need beside Node: a browser for the preview page, poppler for the PDF. Both are Debian packages, so that is where they
# are taken from; elsewhere it says what is missing instead of letting tests fail one by one.
set -euo pipefail
missing=()
command -v chromium > /dev/null || missing+=(chromium fonts-dejavu-core)
command -v pdftoppm > /dev/null || missing+=(poppler-utils)
[ ${#missing[@]} -eq 0 ] && exit 0
if command -v apt-get > /dev/null && [ "$(id -u)" = 0 ]; then
  apt-get update -qq
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" > /dev/null
else
  echo "The tests need these Debian packages (or chromium and pdftoppm on the PATH): ${missing[*]}. Install them, then run this again." >&2
  exit 1
fi
