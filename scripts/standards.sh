#!/bin/sh
# Prints docs/standards.tsv: every published source the code relies on, from
# the parts in docs/standards.d, in a fixed order.
set -eu
printf 'source\tclause\tstanding\tused_in\ttest\n'
LC_ALL=C; export LC_ALL
cat docs/standards.d/*.tsv | grep -v '^$' | sort -u
