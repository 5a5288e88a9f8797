package marks

import "rootcue/engine/quantity"

// A reader reads one measure from one camera; false where it does not show it.
type reader = func(*deriver, *scene) (quantity.Value, source, bool)

// interval is the time from one event to another. The events are inputs of
// their own, so that intervals that share one are correlated: each has
// u = 1/(fps·√6), exchange and flight r = −½.
func interval(start, end Moment) reader {
	frames := from("frames " + start.String() + " and " + end.String())
	dry := frames
	if start == Catch {
		dry = from("frames catch (dry: the mitt's first movement) and " + end.String())
	}
	return func(d *deriver, sc *scene) (quantity.Value, source, bool) {
		a, b := sc.events[start], sc.events[end]
		if !a.seen || !b.seen {
			return quantity.Value{}, source{}, false
		}
		v := d.in.begin()
		v.add(eventInput(sc.block, start), -sc.tick)
		v.add(eventInput(sc.block, end), sc.tick)
		if d.set.Dry {
			return v.cut(b.t - a.t), dry, true
		}
		return v.cut(b.t - a.t), frames, true
	}
}
