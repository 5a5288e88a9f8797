package formula

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser/lexer"
)

// Limits on a source, checked before it is parsed: the parser has none on its
// recursion, and a stack that overflows ends the whole process.
const (
	maxBytes  = 2048
	maxTokens = 500
	maxDepth  = 50
)

// token is a word or sign with its place in bytes.
type token struct {
	lexer.Token
	at, end int
}

// scan cuts src into tokens, the last of which is the end of the source.
func scan(src string) ([]token, []Issue) {
	switch {
	case len(src) > maxBytes:
		return nil, []Issue{{"too-long", maxBytes, len(src) - maxBytes,
			strconv.Itoa(len(src)) + " bytes", "at most " + strconv.Itoa(maxBytes), "split it into several formulas"}}
	case firstBadByte(src) < len(src):
		return nil, []Issue{{"bad-text", firstBadByte(src), 1, "a byte that is not UTF-8 text", "text in UTF-8", ""}}
	case strings.TrimSpace(src) == "":
		return nil, []Issue{{"empty", 0, len(src), "nothing", "an expression", ""}}
	}
	toks, issues := tokens(src)
	if len(toks)-1 > maxTokens {
		t := toks[maxTokens]
		return nil, []Issue{{"too-long", t.at, len(src) - t.at, "more than " + strconv.Itoa(maxTokens) + " words and signs",
			"at most " + strconv.Itoa(maxTokens), "split it into several formulas"}}
	}
	return toks, issues
}

// firstBadByte is the place of the first byte that is not UTF-8, or the length.
func firstBadByte(src string) int {
	for i := range src {
		if r, size := utf8.DecodeRuneInString(src[i:]); r == utf8.RuneError && size == 1 {
			return i
		}
	}
	return len(src)
}

// tokens runs the lexer. What it skips must be blank: it would drop the rest of
// a line after //, which is easily meant as a division.
func tokens(src string) ([]token, []Issue) {
	at := byteOffsets(src)
	l := lexer.New()
	l.Reset(file.NewSource(src))
	var toks []token
	end := 0
	for {
		t, err := l.Next()
		if err != nil {
			return nil, []Issue{unreadable(src, end)}
		}
		tok := token{t, at[t.From], at[t.To]}
		if t.Kind == lexer.EOF {
			tok.at, tok.end = len(src), len(src)
		}
		if skipped := src[end:tok.at]; strings.TrimSpace(skipped) != "" {
			return nil, []Issue{comment(skipped, end)}
		}
		if toks = append(toks, tok); t.Kind == lexer.EOF {
			return toks, nil
		}
		end = tok.end
	}
}

// byteOffsets maps the lexer's count of characters to bytes.
func byteOffsets(src string) []int {
	at := make([]int, 0, len(src)+1)
	for i := range src {
		at = append(at, i)
	}
	return append(at, len(src))
}

// comment is the issue for text the lexer skips.
func comment(skipped string, at int) Issue {
	text := strings.TrimSpace(skipped)
	return Issue{"no-comment", at + strings.Index(skipped, text), len(text),
		quote(text), "no comment inside an expression", "write / to divide; comments follow a # in the file"}
}

// unreadable explains what stands after end, where the lexer gave up.
func unreadable(src string, end int) Issue {
	rest := strings.TrimLeftFunc(src[end:], unicode.IsSpace)
	at := len(src) - len(rest)
	first, size := utf8.DecodeRuneInString(rest)
	switch {
	case first == '"' || first == '\'' || first == '`':
		return Issue{"bad-text", at, len(rest), quote(rest), "a word between two quotes, such as \"dirt\"", ""}
	case first == '/':
		return comment(src[end:], end)
	case first == '.' || '0' <= first && first <= '9':
		n := strings.IndexFunc(rest, func(r rune) bool {
			return !strings.ContainsRune("._", r) && !unicode.IsLetter(r) && !unicode.IsDigit(r)
		})
		if n < 0 {
			n = len(rest)
		}
		return Issue{"bad-number", at, n, quote(rest[:n]), aNumber, "write * between a number and a name, and no unit after a number"}
	}
	if sign, ok := typed[first]; ok {
		return Issue{"bad-sign", at, size, quote(rest[:size]), sign, "write " + sign}
	}
	return Issue{"bad-sign", at, size, quote(rest[:size]), "names, numbers and signs", ""}
}

const aNumber = "a number such as 12 or 0.35"

// quote sets off what stands in the source, shortened, unless it is in quotes
// already.
func quote(s string) string {
	s = shortened(s)
	if strings.HasPrefix(s, `"`) && strings.HasSuffix(s, `"`) && len(s) > 1 {
		return s
	}
	return `"` + s + `"`
}

func shortened(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
