package club

import (
	"context"
	"strings"
	"testing"
)

// A panic in a goroutine of a submission or a comparison is its caller's, who
// answers for it: the server and everybody else's requests go on.
func TestPanicIsTheCallers(t *testing.T) {
	c, ctx := New(nil), t.Context()
	for name, work := range map[string]func() error{
		"source": func() error {
			_, err := c.Submit(ctx, Actor{}, breaking{}, func([]Line) error { return nil })
			return err
		},
		"judged ahead": func() error { return c.judgeAhead(ctx, Actor{}, nil) },
		"in parallel": func() error {
			return caught(func() error {
				inParallel(2, func(int) { panic("it broke") })
				return nil
			})
		},
	} {
		if err := work(); err == nil || !strings.Contains(err.Error(), "panic: ") || !strings.Contains(err.Error(), "parallel") {
			t.Errorf("%s: found error %v, wanted the panic and where it was", name, err)
		}
	}
}

type breaking struct{}

func (breaking) Next() (Entry, error) { panic(context.Canceled) }
