# Named chores. Each does all its own set-up on a fresh Debian machine with Go; Node is never needed.

GO ?= go
# One reproducible binary: no C, no paths, no build stamps.
BUILD = CGO_ENABLED=0 $(GO) build -trimpath -buildvcs=false -ldflags="-s -w -buildid="

.PHONY: demo test bench soak firmware lint build

# demo: everything for the demo job, proven on the simulated processor, and where to look.
demo: build
	@scripts/need-tools
	@scripts/demo

# test: everything a change must keep true. The tools it needs are installed when missing; a missing tool is a failure, never a skip.
test: lint
	$(GO) test -timeout 45m ./...

# bench: one line a figure: name, value, unit, goal, met or not; measured side by side in one run.
bench: build
	@scripts/need-tools
	@$(GO) run ./internal/benchsheet

# soak: the random proofs of `test`, many times wider (an hour or more).
soak:
	@scripts/need-tools
	SOAK=20 $(GO) test -count=1 -timeout 10h ./firmware/... ./proof/...

# firmware: rebuild the core that is embedded in the tool (needs avr-gcc; the product itself never does).
firmware:
	@scripts/need-tools
	firmware/build.sh

# lint: gofmt, vet, staticcheck, and the order of the rooms.
lint:
	@scripts/need-tools
	@bad=$$(gofmt -l $$(git ls-files '*.go')); if [ -n "$$bad" ]; then echo "not gofmt-clean:"; echo "$$bad"; exit 1; fi
	$(GO) vet ./...
	$(GO) tool staticcheck ./...
	$(GO) test -count=1 ./internal/layers

build:
	@mkdir -p out
	@$(BUILD) -o out/lampwright ./cmd/lampwright
