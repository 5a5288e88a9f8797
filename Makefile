# Everything one does with the sources. `make test` is what has to pass.

GO ?= go
# No C in the program: a binary that runs anywhere. The race detector asks for it.
export CGO_ENABLED = 0
# The race detector runs where goroutines share something: what drives a browser,
# the storage suite, and what sends hundreds of requests one after another or to a
# program of its own are left to the plain run. So is gin's MessagePack, which no
# request comes to and which takes longest to compile.
RACE = ./engine ./engine/rubric ./api/... ./internal/cli
SERIAL = SetLimitsManyTimes|SetLimitsOfShippedRubrics|NothingStoppedIsHandedOut|ClubScenarios|PackedImports|EveryPageIsValidAndLight|Readme|Scripts|Binary|ContainerFile
FUZZTIME ?= 5m

.PHONY: test plain race lint bench fuzz torture speed reproducible demo

test: lint
	.ci/install
	$(GO) build -o .build/rootcue .
	$(MAKE) -j2 plain race

# Many tests wait, for a browser, a clock or a server that is killed: more of
# them run at once than there are processors, and those that wait longest begin.
# What go vet says is known from lint.
plain:
	$(GO) test -vet=off -timeout 20m -p 3 -parallel 4 ./internal/torture ./...

race:
	CGO_ENABLED=1 $(GO) test -vet=off -timeout 20m -p 1 -race -short -tags nomsgpack -skip '^Test($(SERIAL))$$' $(RACE)

lint:
	@test -z "$$(gofmt -l $$(git ls-files '*.go'))" || { echo "not gofmt-ed:"; gofmt -l $$(git ls-files '*.go'); exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...

bench:
	$(GO) test -run '^$$' -bench . -benchmem ./...

# Each fuzz target of each package in turn. An input that reaches something new is
# made smaller in a few tries only: left alone, that takes a minute each.
fuzz:
	@for p in $$($(GO) list ./...); do \
		for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz'); do \
			echo "$$p $$f"; $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime $(FUZZTIME) -fuzzminimizetime 10x $$p || exit 1; \
		done; \
	done

# The long form of what internal/torture does shortly in every test run, and
# what asks for root and strace: a disk that is full or fails.
SEED ?= 1
torture:
	.ci/install
	$(GO) test ./internal/torture -tags torture -v -parallel 1 -timeout 5h -seed $(SEED) -rounds 200 -requests 20000 -step 10s -soak 20m -tables ../../testdata/load

# The table of speeds, measured anew; see testdata/speed/speed.md. With
# ROWS=10000,100000,1000000 lists are read from a million assessments too. Then
# what single requests cost, and what machines that asks for: capacity.md.
ROWS ?= 10000,100000
speed:
	.ci/install
	$(GO) run ./internal/speed -out testdata/speed -rows $(ROWS)
	$(GO) test ./internal/capacity -run '^$$' -bench UnitCosts -benchtime 1x -write
	$(GO) run ./internal/capacity

# The last commit built in two folders: the same bytes, or it fails. It compiles
# everything once without the paths of this machine, which takes a minute.
reproducible:
	@top=$$(mktemp -d) && trap 'rm -rf "$$top"' EXIT && \
	for d in a longer/path/b; do \
		mkdir -p $$top/$$d && git archive HEAD | tar -x -C $$top/$$d && \
		(cd $$top/$$d && $(GO) build -trimpath -buildvcs=false -ldflags=-s -o rootcue .) || exit 1; \
	done && \
	cmp $$top/a/rootcue $$top/longer/path/b/rootcue && sha256sum < $$top/a/rootcue

demo:
	$(GO) run . serve --demo
