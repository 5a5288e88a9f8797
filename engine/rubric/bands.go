package rubric

import (
	"fmt"
	"slices"
	"strings"

	"rootcue/engine/shape"
)

// beside are the keys that stand beside bands in a map, so that no band can
// have their names.
var beside = []string{"value", "unit", "u", "source"}

func (c *compiler) bands(n *shape.Node) {
	c.agesSound = n != nil && len(n.Spoilt()) == 0
	defer func(before int) { c.agesSound = c.agesSound && before == len(c.problems) }(len(c.problems))
	for _, f := range n.Fields() {
		b := Band{Name: f.Key.Text}
		if slices.Contains(beside, b.Name) {
			c.report(f.Key.Problem("reserved-name", "the band "+quote(b.Name), "a name other than "+strings.Join(beside, ", "), ""))
		}
		ages := f.Value.Get("ages").Items()
		if len(ages) < 2 {
			b.From, b.To, c.agesSound = 0, -1, false
		} else {
			b.From, b.To = ages[0].Int(0), ages[1].Int(-1)
			c.checkAges(b, f.Value.Get("ages"))
		}
		c.r.Bands = append(c.r.Bands, b)
	}
}

// checkAges holds a band against itself and the ones before it.
func (c *compiler) checkAges(b Band, n *shape.Node) {
	if b.From > b.To {
		c.report(n.Problem("reversed", fmt.Sprintf("ages from %d to %d", b.From, b.To), "the lower age first", fmt.Sprintf("write [%d, %d]", b.To, b.From)))
		return
	}
	for _, o := range c.r.Bands {
		if from, to := max(b.From, o.From), min(b.To, o.To); from <= to {
			c.report(n.Problem("band-overlap", fmt.Sprintf("age %d in the bands %s and %s", from, o.Name, b.Name), "each age in at most one band", ""))
		}
	}
}

// A byBand holds one value for each band, nil where it is missing or of the
// wrong form, and what stands beside them.
type byBand struct {
	values          []*shape.Node
	unit, u, source *shape.Node
}

// byBand spreads a value over the bands: one value for all, a map of bands, or
// either of them under `value`. Every band must have one.
func (c *compiler) byBand(n *shape.Node, what string) byBand {
	b := byBand{values: make([]*shape.Node, len(c.r.Bands))}
	if n == nil {
		return b
	}
	if n.Kind != shape.Map {
		for i := range b.values {
			b.values[i] = n
		}
		return b
	}
	b.unit, b.u, b.source = n.Get("unit"), n.Get("u"), n.Get("source")
	if n.Has("value") {
		for _, f := range n.Fields() {
			if !slices.Contains(beside, f.Key.Text) {
				c.report(f.Key.Problem("one-of", "the band "+quote(f.Key.Text)+" beside `value` in "+what, "either value or bands", "move it under value"))
			}
		}
		if v := n.Get("value"); v != nil {
			b.values = c.byBand(v, what).values
		}
		return b
	}
	c.eachBand(n, what, b.values)
	return b
}

func (c *compiler) eachBand(n *shape.Node, what string, values []*shape.Node) {
	var missing []string
	for i, band := range c.r.Bands {
		values[i] = n.Get(band.Name)
		if !n.Has(band.Name) {
			missing = append(missing, band.Name)
		}
	}
	for _, f := range n.Fields() {
		if c.agesSound && !slices.Contains(beside, f.Key.Text) && c.bandNamed(f.Key.Text) < 0 {
			c.report(f.Key.Problem("unknown-band", "the band "+quote(f.Key.Text)+" in "+what, "one of the bands "+strings.Join(c.bandNames(), ", "), shape.DidYouMean(f.Key.Text, append(missing, beside...))))
		}
	}
	if len(missing) > 0 {
		c.report(n.Spot().Problem("missing-band", "no value for "+strings.Join(missing, ", ")+" in "+what, "a value for every band", "one number in place of the map serves all bands"))
	}
}

func (c *compiler) bandNames() []string {
	names := make([]string, len(c.r.Bands))
	for i, b := range c.r.Bands {
		names[i] = b.Name
	}
	return names
}

func (c *compiler) bandNamed(name string) int {
	return slices.IndexFunc(c.r.Bands, func(b Band) bool { return b.Name == name })
}

// floats reads a number from each band, 0 where there is none.
func floats(values []*shape.Node) []float64 {
	x := make([]float64, len(values))
	for i, v := range values {
		x[i] = v.Float(0)
	}
	return x
}
