#!/bin/sh
# Feeds every reader with inputs that the fuzzer makes up: sh bench/fuzz.sh [SECONDS for each, 30 unless given].
set -eu
seconds=${1:-30}
case $seconds in
'' | *[!0-9]* | 0*)
	echo "fuzz.sh: '$seconds' is no number of seconds; expected a whole number from 1" >&2
	exit 2
	;;
esac
cd "$(dirname "$0")/.."
PATH="$PATH:/usr/local/go/bin"
export PATH
grep -rl --include='*_test.go' '^func Fuzz' . | sort | while read -r file; do
	grep -o '^func Fuzz[A-Za-z0-9_]*' "$file" | sed 's/^func //' | while read -r target; do
		echo "$(dirname "$file") $target"
		go test "$(dirname "$file")" -run '^$' -fuzz "^$target\$" -fuzztime "${seconds}s" </dev/null
	done
done
