package report

import (
	"testing"

	"rootcue/internal/report/htmltest"
)

// TestPagesByStructure holds pages by their structure.
func TestPagesByStructure(t *testing.T) {
	all := demos(t)
	for _, name := range []string{"full", "spanish", "flying", "stopped", "blocking"} {
		t.Run(name, func(t *testing.T) { golden(t, name, htmltest.Outline(t, written(t, all[name]))) })
	}
}
