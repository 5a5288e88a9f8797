package api

import (
	"net/http"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
)

// A Deprecation says of an operation that it will go, and what takes its place.
type Deprecation struct {
	Since   time.Time // from when on it should not be used any more
	Until   time.Time // when it goes; zero: that is not known yet
	Instead string    // the path of what takes its place; "": nothing does
}

// tell says so with every answer, a refusal too: the Deprecation header field
// (RFC 9745) and Sunset (RFC 8594).
func (d *Deprecation) tell(c *gin.Context) {
	h := c.Writer.Header()
	h.Set("Deprecation", "@"+strconv.FormatInt(d.Since.Unix(), 10))
	if !d.Until.IsZero() {
		h.Set("Sunset", d.Until.UTC().Format(http.TimeFormat))
	}
}

// describe says so in the OpenAPI document, and what takes its place.
func (d *Deprecation) describe(op *huma.Operation) {
	op.Deprecated = true
	says := "Deprecated since " + d.Since.UTC().Format(time.DateOnly)
	if !d.Until.IsZero() {
		says += "; it goes on " + d.Until.UTC().Format(time.DateOnly)
	}
	if d.Instead != "" {
		says += "; use `" + d.Instead + "`"
	}
	op.Description += "\n\n" + says + "."
}
