package api

import (
	"compress/gzip"
	"io"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/gin-gonic/gin"
)

// MaxBody is how large a body may be, in bytes after decompression, where a
// route says nothing else.
const MaxBody int64 = 1 << 20

// bodyTime is how long a body may take to arrive.
const bodyTime = 30 * time.Second

// openBody checks what the header says of the body before a byte of it is
// read, and bounds what will be read.
func openBody(c *gin.Context, r *Route) *Problem {
	if len(r.accepts) == 0 {
		return nil
	}
	if p := mediaProblem(c.GetHeader("Content-Type"), r.accepts); p != nil {
		return p
	}
	if field := c.GetHeader("Content-Type"); field != "" { // the library below tells capitals apart; media types do not (RFC 9110, 8.3.1)
		c.Request.Header.Set("Content-Type", baseType(field))
	}
	most := r.maxBody(c)
	if c.Request.ContentLength > most {
		return TooLarge.Say("the body has %d bytes, at most %d are read", c.Request.ContentLength, most).With("Connection", "close")
	}
	body := http.MaxBytesReader(c.Writer, arriving{c.Request.Body}, most)
	switch encoding := strings.ToLower(strings.TrimSpace(c.GetHeader("Content-Encoding"))); encoding {
	case "", "identity":
		c.Request.Body = body
	case "gzip":
		c.Request.Body = &unzipped{below: body, left: most, most: most}
	default:
		return BadMedia.At(Slip{Code: "content-encoding", Parameter: "header.Content-Encoding", Found: encoding, Wanted: "gzip, or none"}).With("Accept-Encoding", "gzip")
	}
	return nil
}

// An arriving body tells a sender's broken chunks from trouble of our own.
type arriving struct{ io.ReadCloser }

func (a arriving) Read(b []byte) (int, error) {
	n, err := a.ReadCloser.Read(b)
	if err != nil && err != io.EOF && failed(err).Status == http.StatusInternalServerError {
		err = NotJSON.At(Slip{Code: "broken-body", Parameter: "header.Transfer-Encoding", Found: "a body that breaks off: " + err.Error(), Wanted: "chunks as RFC 9112 has them, or Content-Length"}).With("Connection", "close")
	}
	return n, err
}

// mediaProblem refuses a body of a form the operation does not read. A body
// without a Content-Type is taken for the first.
func mediaProblem(field string, accepts []string) *Problem {
	if field == "" || slices.Contains(accepts, baseType(field)) {
		return nil
	}
	slip := Slip{Code: "media-type", Parameter: "header.Content-Type", Found: field, Wanted: strings.Join(accepts, " or ")}
	if baseType(field) == "application/x-www-form-urlencoded" {
		slip.Hint = "curl sends this form unless told otherwise: add -H 'Content-Type: " + accepts[0] + "'"
	}
	return BadMedia.At(slip).With("Accept", strings.Join(accepts, ", "))
}

// unzipped undoes gzip as it is read, and stops at the most that a body may
// hold, however small it was packed.
type unzipped struct {
	below      io.ReadCloser
	zip        *gzip.Reader
	left, most int64
}

func (u *unzipped) Read(b []byte) (int, error) {
	if u.zip == nil {
		zip, err := gzip.NewReader(u.below)
		if err != nil {
			return 0, badGzip(err)
		}
		u.zip = zip
	}
	n, err := u.zip.Read(b)
	if u.left -= int64(n); u.left < 0 {
		return 0, &http.MaxBytesError{Limit: u.most}
	}
	if err != nil && err != io.EOF {
		err = badGzip(err)
	}
	return n, err
}

// Close closes the body below.
func (u *unzipped) Close() error { return u.below.Close() }

// badGzip is the problem for bytes that are not gzip; a problem of the body
// below stays itself.
func badGzip(err error) error {
	if p := failed(err); p.Status != http.StatusInternalServerError {
		return p
	}
	return NotJSON.At(Slip{Code: "not-gzip", Parameter: "header.Content-Encoding", Found: "a body that is not gzip: " + err.Error(), Wanted: "a body packed by gzip, or no Content-Encoding"})
}
