#!/usr/bin/env bash
# Runs every test with recording on, then writes docs/validation.md from the
# comparisons and the reference tables.
set -euo pipefail
cd "$(dirname "$0")/.."
RINSEWRIGHT_VALIDATION=$(mktemp -d)
export RINSEWRIGHT_VALIDATION
trap 'rm -r "$RINSEWRIGHT_VALIDATION"' EXIT
go test -count=1 ./...
go run ./internal/check/validation "$RINSEWRIGHT_VALIDATION" >"$RINSEWRIGHT_VALIDATION/page.md"
cp "$RINSEWRIGHT_VALIDATION/page.md" docs/validation.md
