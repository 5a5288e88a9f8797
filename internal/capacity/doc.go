// Package capacity measures what single requests cost on each database, as the
// ground for planning servers. It holds a benchmark only.
package capacity
