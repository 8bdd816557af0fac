# make demo   builds the program and plans a demo job
# make browser drives the job book in Chromium (under 3 minutes; npm fetches the driver)
# make phone  builds the program with the part that a phone keeps (docs/phone.md)
# make docs   writes the generated pages of docs/
# make check  formatting, vet, staticcheck, wasm build, all tests
# make verify the long checks of the simulation: levels, and the speed beside ccx (minutes)
GO ?= go
ROOMS = ./quantity ./source ./job ./gate ./material ./cut ./joint ./filler ./power ./heat/... ./strength ./price ./plan ./task ./calc ./sheet/... ./schema ./demo ./book ./store ./store/memory ./exchange ./store/browser ./web ./cmd/pocket
export CGO_ENABLED = 0

.PHONY: phone phone-check kills browser build demo check verify test wasm bench fuzz golden docs

build:
	$(GO) build -trimpath -o soundmetal ./cmd/soundmetal

# phone builds the program with the phone's part in it (PACK=-quick: seconds instead of a minute).
# Without inlining the phone's program is an eighth smaller; the solver of heat keeps it.
PACK ?=
phone:
	GOOS=js GOARCH=wasm $(GO) build -trimpath -ldflags="-s -w" -gcflags=all=-l -gcflags='soundmetal/heat/...=' -o pocket/dist/pocket.wasm ./cmd/pocket
	cp "$$($(GO) env GOROOT)/lib/wasm/wasm_exec.js" pocket/dist/
	$(GO) run ./pocket/pack $(PACK) pocket/dist/pocket.wasm
	rm pocket/dist/pocket.wasm
	$(MAKE) build

# phone-check holds the phone's answers against the computer's (needs node)
phone-check:
	dir=$$(mktemp -d) && SOUNDMETAL_SAME=$$dir $(GO) test -count 1 -run SameOnThePhone ./cmd/pocket && \
	SOUNDMETAL_SAME=$$dir GOOS=js GOARCH=wasm $(GO) test -count 1 -v -run SameOnThePhone -exec "$$($(GO) env GOROOT)/lib/wasm/go_js_wasm_exec" ./cmd/pocket; \
	s=$$?; rm -r $$dir; exit $$s

# browser tests; BROWSER=must fails where Chromium or npm is missing
browser: PACK = -quick
browser: phone
	GO="$(GO)" sh web/browser/run.sh ./soundmetal

demo: build
	./soundmetal demo

check:
	@test -z "$$(gofmt -l $$(git ls-files '*.go'))" || { gofmt -l $$(git ls-files '*.go'); echo "gofmt: the files above are not formatted"; exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...
	$(MAKE) wasm
	$(GO) test ./...
	$(GO) test -tags ccx -run 'CCXPreheat|CCXBeads' ./heat/conduct

verify:
	$(GO) test -tags long -run LevelsAgree -v ./heat/conduct
	$(GO) test -tags ccx -run CCX -v ./heat/conduct

wasm:
	GOOS=js GOARCH=wasm $(GO) vet $(ROOMS)
	GOOS=js GOARCH=wasm $(GO) build $(ROOMS)

bench:
	$(GO) test -run '^$$' -bench . -benchmem ./...

# fuzz gives each parser of outside input 30 s
fuzz:
	$(GO) test -run '^$$' -fuzz FuzzRead -fuzztime 30s ./quantity
	$(GO) test -run '^$$' -fuzz '^FuzzForm$$' -fuzztime 30s ./web
	$(GO) test -run '^$$' -fuzz '^FuzzPhoto$$' -fuzztime 30s ./web
	$(GO) test -run '^$$' -fuzz '^FuzzTakeIn$$' -fuzztime 30s -fuzzminimizetime 1s ./web
	$(GO) test -run '^$$' -fuzz '^FuzzRead$$' -fuzztime 30s ./job
	$(GO) test -run '^$$' -fuzz '^FuzzReadActuals$$' -fuzztime 30s ./job
	$(GO) test -run '^$$' -fuzz '^FuzzReadPrice$$' -fuzztime 30s ./price
	for f in FuzzFold FuzzFields FuzzImport FuzzJobFile FuzzPhoto; do $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime 30s -fuzzminimizetime 1s ./book || exit 1; done
	for f in FuzzReadInput FuzzReadResult; do $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime 30s ./task || exit 1; done
	$(GO) test -run '^$$' -fuzz '^FuzzReadLine$$' -fuzztime 30s ./store
	for f in FuzzBatch FuzzRequest FuzzAddress; do $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime 30s ./exchange || exit 1; done

# kills stops the store 200 times in the middle of its work (docs/reliability.md)
kills:
	SOUNDMETAL_KILLS=200 $(GO) test -count 1 -v -run Killed ./store/sqlite

golden:
	$(GO) test ./sheet ./cmd/soundmetal -update

# docs writes the pages, tables and schemas that come from the code
docs:
	$(GO) test ./docs -update
