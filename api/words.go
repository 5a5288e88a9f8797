package api

// words describe properties whose Go types say nothing of them, by schema and
// key.
var words = map[string]string{}
