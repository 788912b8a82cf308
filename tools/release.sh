#!/usr/bin/env bash
# Builds the program for every system it is given away for, with the engine for
# browsers in it, and beside each what it is made of (CycloneDX) and the sums of
# all. The same source gives the same bytes: one target is built a second time
# from a copy elsewhere, and must come out alike.
set -euo pipefail
cd "$(dirname "$0")/.."
out=$(mkdir -p "${OUT:-dist}" && cd "${OUT:-dist}" && pwd)
version=${VERSION:-$(git describe --tags --always --dirty)}
targets=${TARGETS:-linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64 windows/arm64}
export CGO_ENABLED=0 GOFLAGS=-buildvcs=false GOTOOLCHAIN=local

# build DIR OS ARCH FILE: builds the source in DIR.
build() {
	(cd "$1" && GOOS=$2 GOARCH=$3 go build -trimpath -ldflags "-s -w -buildid= -X main.version=$version" -o "$4" ./cmd/rinsewright)
}

name() { echo "rinsewright-$version-$1-$2$([ "$1" = windows ] && echo .exe || true)"; }

rm -f "$out"/rinsewright-* "$out"/SHA256SUMS
go run ./internal/web/engine/make
for target in $targets; do
	os=${target%/*} arch=${target#*/}
	file=$out/$(name "$os" "$arch")
	build . "$os" "$arch" "$file"
	go tool -modfile=tools/sbom.mod cyclonedx-gomod bin -json -noserial -notimestamp -licenses -version "$version" -output "$file.cdx.json" "$file" 2>/dev/null
	echo "$(basename "$file") $(stat -c %s "$file") bytes"
done
(cd "$out" && sha256sum rinsewright-* >SHA256SUMS)

# Once more, elsewhere: only what Git knows, and the engine compiled anew.
first=${targets%% *}
elsewhere=$(mktemp -d)
trap 'rm -rf "$elsewhere"' EXIT
git archive HEAD | tar -x -C "$elsewhere"
(cd "$elsewhere" && go run ./internal/web/engine/make)
build "$elsewhere" "${first%/*}" "${first#*/}" "$elsewhere/again"
if ! cmp -s "$elsewhere/again" "$out/$(name "${first%/*}" "${first#*/}")"; then
	echo "built twice, $first comes out differently (is everything committed?)"
	exit 1
fi
echo "built twice in two places, $first is the same to the byte"
