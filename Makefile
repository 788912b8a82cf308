# make check before every commit, make test before every merge. Everything a
# target needs beyond Go is fetched by it or named by it (tools/needs.sh).

export CGO_ENABLED = 0

TOOL      = go tool -modfile=tools/go.mod
FUZZTIME ?= 10s
ARGS     ?= demo
SHOTS    ?= shots

.PHONY: help check test lint format bench fuzz golden validation trust shots run engine release

help:
	@echo 'make check       format, vet, staticcheck, short tests, the rules of the house'
	@echo 'make test        everything; fetches the Debian packages it needs when it may'
	@echo 'make format      write the files as gofumpt wants them'
	@echo 'make bench       the speeds that the documentation names'
	@echo 'make fuzz        each fuzz target for FUZZTIME=$(FUZZTIME)'
	@echo 'make golden      write our own expected files anew; read the diff'
	@echo 'make validation  write docs/validation.md from the outside values that tests hold'
	@echo 'make trust       the long proofs of docs/trust.md: rigs, kills, power, disks, phones, backups; takes hours'
	@echo 'make shots       a picture of every page, phone and desk, light and dark, in SHOTS=$(SHOTS)'
	@echo 'make release     the program for every system, reproducible, with sums and lists of what is in it, in dist'
	@echo 'make engine      compile the engine for the browser into the next build of the program'
	@echo 'make run         start the program; ARGS="check FILE" passes arguments'

check: lint
	@tools/needs.sh go papers
	go test -short ./...

# The test runner speaks last, so that its closing lines and its exit code
# are those of make test.
test:
	@tools/needs.sh go browser database papers
	@$(MAKE) --no-print-directory lint
	go test -timeout 25m ./...

lint:
	@unformatted=$$($(TOOL) gofumpt -l .); if [ -n "$$unformatted" ]; then \
		echo 'make format would change:'; echo "$$unformatted"; exit 1; fi
	go vet ./...
	$(TOOL) staticcheck ./...

format:
	$(TOOL) gofumpt -w .

bench:
	go test -run '^$$' -bench . -benchmem ./...

fuzz:
	tools/fuzz.sh $(FUZZTIME)

golden:
	UPDATE=1 go test ./...
	@git --no-pager diff --stat

validation:
	tools/validation.sh

# The long proofs read this variable; without it the same tests draw less.
trust:
	RINSEWRIGHT_TRUST=1 go test -timeout 6h -v -run 'AnyRig|NineBands' ./plant ./study
	RINSEWRIGHT_TRUST=1 go test -timeout 1h -v -run 'AFloodIs|SlowSockets' ./internal/web
	RINSEWRIGHT_TRUST=1 go test -timeout 12h -v -run 'Power|Failing|EveryStep|Kill|Histories|MiddleOfAnUpgrade' ./internal/store
	RINSEWRIGHT_TRUST=1 go test -timeout 2h -v -run '^Test(SQLite|PostgreSQL)$$/any_change' ./internal/store
	RINSEWRIGHT_TRUST=1 go test -timeout 6h -v -run 'EveryChangedByte|MadeWhileOthers|LargeBackup' ./internal/store/archive
	RINSEWRIGHT_TRUST=1 go test -timeout 6h -v -run 'FullDisk' ./internal/web

shots:
	@tools/needs.sh go browser
	SHOTS=$(abspath $(SHOTS)) go test -count=1 -run TestEveryPage ./internal/web

run:
	go run ./cmd/rinsewright $(ARGS)

# A program that is given away carries its engine: make engine, then go build.
engine:
	go run ./internal/web/engine/make

release:
	tools/release.sh
