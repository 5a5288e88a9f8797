// Package torture breaks the built program as a bad day would: it kills it,
// takes its disk and its database away and lies to it, always from outside, over
// HTTP, with real databases. It holds tests only.
//
//	go test ./internal/torture                          # the short form
//	make torture                                        # the long one
//	go test ./internal/torture -run TestKill -rounds 20 -seed 7
//
// Every run prints a line of what was tried, acknowledged, lost, doubled and
// leaked, with its seed.
package torture
