# make run   sets up and plans the demo jobs; papers land in papers-out/, and at
#            a terminal the app is then served on this machine with the same jobs
# make test  sets up and passes every test
GO ?= go
PAPERS ?= papers-out
ADDR ?= 127.0.0.1:8484
DATA ?= data
DEMOS := $(sort $(wildcard examples/*.yaml))

.PHONY: run serve app test wasm bench-wasm setup build check vet standards bench fuzz clean

run: build
	@for job in $(DEMOS); do \
	  name=$$(basename $$job .yaml); \
	  echo; echo "=== $$name"; \
	  ./bin/seamwright plan $$job --out $(PAPERS)/$$name; code=$$?; \
	  if [ $$code -eq 2 ]; then echo "(the plan holds a stop: exit code 2)"; \
	  elif [ $$code -ne 0 ]; then exit $$code; fi; \
	done
	@echo; echo "Papers and drawings: $(PAPERS)/<job>/"
	@if [ -t 0 ]; then $(MAKE) --no-print-directory serve; else echo "The app: make serve"; fi

# The app with the engine inside the page, on this machine only.
serve: build app
	./bin/seamwright serve --addr $(ADDR) --data $(DATA)

app:
	@echo "building the engine for the page ..."
	@sh web/engine.sh

build:
	$(GO) build -trimpath -o bin/seamwright ./cmd/seamwright

# The engine for a page: Go only.
wasm:
	mkdir -p build
	GOOS=js GOARCH=wasm $(GO) build -trimpath -buildvcs=false -ldflags "-s -w" -o build/engine.wasm ./cmd/seamwright-wasm
	cp "$$($(GO) env GOROOT)/lib/wasm/wasm_exec.js" build/wasm_exec.js

bench-wasm: wasm
	node scripts/wasm-bench.mjs build/engine.wasm build/wasm_exec.js scripts/bench-20.yaml

# Programs that the tests compare against or read papers back with.
setup:
	sh scripts/setup.sh

test: setup check
	CI=true $(GO) test ./...

check: vet standards
	@unformatted=$$(gofmt -l $$(git ls-files '*.go')); if [ -n "$$unformatted" ]; then echo "gofmt:"; echo "$$unformatted"; exit 1; fi

vet:
	$(GO) vet ./...

# The register of sources is put together from the parts each package keeps.
standards:
	@sh scripts/standards.sh > docs/standards.tsv

bench:
	$(GO) test -run XXX -bench . -benchmem ./...

fuzz:
	$(GO) test -fuzz FuzzParse -fuzztime 30s ./engine/length

clean:
	rm -rf bin $(PAPERS)
