// Package supply holds what the program is made of: licences.csv has the
// modules built into it with their licences, bom.cdx.json the same as a software
// bill of materials (CycloneDX 1.6), findings.md what scanners say of them and of
// the program. It holds tests only, which keep the first two true:
//
//	go test ./internal/supply -update
package supply
