#!/usr/bin/env bash
# Looks for what the tests need and fetches it by apt when it may: as root, or
# with sudo that asks for no password. Otherwise it prints the one line to run
# and exits 2.
#
#   tools/needs.sh go            Go as new as go.mod says
#   tools/needs.sh go browser    and Chromium, if any test drives a browser
#   tools/needs.sh go database   and PostgreSQL, whose server the tests start
#   tools/needs.sh go papers     and the readers that open every paper
set -euo pipefail
cd "$(dirname "$0")/.."

need_go() {
	wanted=$(sed -n 's/^go //p' go.mod)
	if ! command -v go >/dev/null; then
		echo "Go $wanted or newer is needed: https://go.dev/doc/install" >&2
		exit 2
	fi
	# With an older Go this fetches the wanted one, or fails and says why.
	have=$(go env GOVERSION) || exit 2
	oldest=$(printf '%s\n' "$wanted" "${have#go}" | sort -V | head -n 1)
	if [ "$oldest" != "$wanted" ]; then
		echo "Go $wanted or newer is needed, this is ${have#go}: https://go.dev/doc/install" >&2
		exit 2
	fi
}

need_browser() {
	grep -rqsE --include='*_test.go' '^[[:space:]]*"github.com/chromedp/chromedp"$' . || return 0
	# A browser without any font draws no text.
	if ! find /usr/share/fonts -name '*.[to]tf' 2>/dev/null | grep -q .; then packages+=(fonts-dejavu-core); fi
	for name in chromium chromium-browser google-chrome; do
		if command -v "$name" >/dev/null; then return 0; fi
	done
	packages+=(chromium)
}

need_database() {
	if compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null || command -v initdb >/dev/null; then return 0; fi
	packages+=(postgresql)
}

need_papers() {
	command -v pdftotext >/dev/null || packages+=(poppler-utils)
	command -v qpdf >/dev/null || packages+=(qpdf)
	command -v mutool >/dev/null || packages+=(mupdf-tools)
}

fetch() {
	if ! command -v apt-get >/dev/null; then
		echo "please install: $*" >&2
		exit 2
	fi
	as_root=()
	if [ "$(id -u)" != 0 ]; then
		if ! sudo -n true 2>/dev/null; then
			echo "please run: sudo apt-get update && sudo apt-get install -y --no-install-recommends $*" >&2
			exit 2
		fi
		as_root=(sudo -n)
	fi
	echo "installing by apt, for the tests: $*"
	"${as_root[@]}" apt-get update -qq
	DEBIAN_FRONTEND=noninteractive "${as_root[@]}" apt-get install -y -qq --no-install-recommends "$@"
}

packages=()
for need in "$@"; do
	"need_$need"
done
if [ "${#packages[@]}" != 0 ]; then fetch "${packages[@]}"; fi
