#!/bin/sh
# Prints all ratios and tables of the benches, one after the other.
set -eu
cd "$(dirname "$0")/.."
PATH="$PATH:/usr/local/go/bin"
export PATH
for main in $(grep -l '^package main$' bench/*/main.go); do echo "== $main" && go run "./$(dirname "$main")"; done
