#!/usr/bin/env bash
# Runs each fuzz target of the module for the time given, one after another.
set -euo pipefail
cd "$(dirname "$0")/.."
time=${1:-10s}
grep -rEo --include='*_test.go' '^func Fuzz[A-Za-z0-9_]+' . | sort | while IFS=: read -r file func; do
	target=${func#func }
	echo "$(dirname "$file") $target"
	go test "$(dirname "$file")" -run '^$' -fuzz "^$target\$" -fuzztime "$time" </dev/null
done
