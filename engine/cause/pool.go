package cause

// Borrow lends a Work of this graph, made anew if none is free; its answers are
// those of whoever had it before.
func (g *Graph) Borrow() *Work {
	if w, ok := g.free.Get().(*Work); ok {
		return w
	}
	return g.NewWork()
}

// Return takes a borrowed Work back. It must not be used afterwards.
func (g *Graph) Return(w *Work) { g.free.Put(w) }
