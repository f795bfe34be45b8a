#!/bin/sh
# Runs every check of the project: formatting, vet, staticcheck, all tests. Needs Go; modules are fetched by Go itself. Tests of pages need
# Chromium, which is installed where that is allowed; elsewhere they are left out with the line to type.
set -eu
cd "$(dirname "$0")"
PATH="$PATH:/usr/local/go/bin"
export PATH
if ! command -v go >/dev/null 2>&1; then
	echo "test.sh: Go 1.26 or newer is needed and not on the PATH; install it and run this again" >&2
	exit 1
fi
if ! command -v chromium >/dev/null 2>&1 && ! command -v chromium-browser >/dev/null 2>&1 && ! command -v google-chrome >/dev/null 2>&1; then
	if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1 && apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium >/dev/null; then
		echo "test.sh: Chromium installed for the tests of pages"
	else
		echo "test.sh: tests of pages are left out; for them, type: sudo apt-get install -y chromium" >&2
	fi
fi
unformatted=$(gofmt -l .)
if [ -n "$unformatted" ]; then
	echo "test.sh: not gofmt-ed:" >&2
	echo "$unformatted" >&2
	exit 1
fi
go vet ./...
go tool staticcheck ./...
go test -timeout 20m ./...
# The same seed gives the same bytes where the compiler may fuse multiply and add.
if grep -q avx2 /proc/cpuinfo 2>/dev/null; then
	GOAMD64=v3 go test ./sim/kernel
	GOAMD64=v3 go test -run Pinned ./sim
	both=$(mktemp -d)
	for level in v1 v3; do
		GOAMD64=$level go build -o "$both/$level" ./cmd/whatbout
		"$both/$level" compare --draws 60 --bouts 6 --quiet --format json >"$both/$level.json"
	done
	cmp "$both/v1.json" "$both/v3.json"
	rm -r "$both"
fi
