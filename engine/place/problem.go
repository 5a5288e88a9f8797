// Package place says what is wrong with a document and where: one Problem for
// every slip, in the coordinates of the file or JSON value the author wrote.
package place

// A Problem is one slip in a document, or one warning about it. The author is
// told what was found, what was wanted and what to do; programs match Code.
type Problem struct {
	Code    string `json:"code"`              // stable name of the kind of slip, e.g. "unknown-key"
	File    string `json:"file,omitempty"`    // as named by the caller
	Line    int    `json:"line,omitempty"`    // from 1; 0 where the document has no lines
	Column  int    `json:"column,omitempty"`  // from 1, counted in characters
	Pointer string `json:"pointer,omitempty"` // JSON Pointer (RFC 6901) into a JSON document
	Found   string `json:"found"`             // what stands there
	Wanted  string `json:"wanted"`            // what may stand there
	Hint    string `json:"hint,omitempty"`    // what to do about it
	Warning bool   `json:"warning,omitempty"` // worth a look, but the document is usable
}
