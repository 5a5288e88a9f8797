package club

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"net/url"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/webhook"
)

// said reports slips that do not say what is wrong and where.
func said(t *testing.T, slips []place.Problem) {
	t.Helper()
	for _, p := range slips {
		if p.Code == "" || p.Found == "" || p.Wanted == "" || p.Line < 0 || p.Column < 0 {
			t.Fatalf("says too little: %+v", p)
		}
	}
}

// refused takes the error of a reader, which must be a refusal that says why;
// it reports whether there was one.
func refused(t *testing.T, err error) bool {
	t.Helper()
	if err == nil {
		return false
	}
	var r *Refusal
	if !errors.As(err, &r) || len(r.Slips) == 0 {
		t.Fatalf("no refusal: %v", err)
	}
	said(t, r.Slips)
	return true
}

// drain reads a source to its end and gives the lines it told of, in the order
// of the file; every document in it is read too.
func drain(t *testing.T, src Source) (told []int) {
	t.Helper()
	for {
		e, err := src.Next()
		if err != nil {
			if err != io.EOF {
				t.Fatal(err)
			}
			return told
		}
		told = append(told, e.Lines...)
		said(t, e.Slips)
		for _, row := range e.Rows {
			told = append(told, row.Line)
			said(t, row.Slips)
		}
		if len(e.Doc) > 0 {
			redo(t, e)
		}
	}
}

// redo reads an entry's document and then the form in which it would be kept,
// which must be the same again.
func redo(t *testing.T, e Entry) {
	t.Helper()
	once, slips := read(e.Doc)
	said(t, slips)
	if (once == nil) != (len(slips) > 0) {
		t.Fatalf("document %v with slips %+v", once, slips)
	}
	for _, s := range slips {
		if rep, ok := repOf(s.Pointer); ok && e.Cell != nil && rep < len(e.Lines) {
			said(t, []place.Problem{e.Cell(rep, s)})
		}
	}
	if once == nil {
		return
	}
	if twice, slips := read(once.input); len(slips) > 0 || twice.hash != once.hash {
		t.Fatalf("kept as %s, which reads as %+v", once.input, slips)
	}
}

// each checks that lines 1 to n are told once each, but for those in blank.
func each(t *testing.T, told []int, first, last int, blank func(line int) bool) {
	t.Helper()
	times := map[int]int{}
	for _, line := range told {
		times[line]++
	}
	for line := first; line <= last; line++ {
		if want := 1; times[line] != want && !blank(line) {
			t.Fatalf("line %d of %d is told %d times", line, last, times[line])
		}
		delete(times, line)
	}
	for line, n := range times {
		t.Fatalf("line %d, which is none, is told %d times", line, n)
	}
}

// linesOf are the lines of a file as the readers count them.
func linesOf(data []byte) [][]byte {
	list := bytes.Split(data, []byte("\n"))
	if len(list[len(list)-1]) == 0 {
		list = list[:len(list)-1]
	}
	return list
}

// Every row of a table of observations is answered once: in a document, or with
// what is wrong.
func FuzzTable(f *testing.F) {
	const header = "player,age,on,rep,exchange_time [s],hand_protected,stance,clip,held\n"
	f.Add([]byte(header + "P-1,12,2026-05-09,1,1.02,yes,two-feet,c1,late-feet\nP-1,12,2026-05-09,2,\"1,1\",no,,,\n\nP-2,13,09.05.2026,1,x,,,,\n"))
	f.Add([]byte("\ufeffplayer;on;rep;stride_off_line [in]\r\nP-1;2026-05-09;1;6,5\r\nP-1;2026-05-09;1;\"7\r\n;;;;;;\r\n"))
	f.Add([]byte("player\ton\tage\nA\t2026-05-09\t1e999\nB\t46151\t0x1p4\n\"\"\"\"\t\t\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		src, err := CSV(bytes.NewReader(data), "throw-to-second")
		if refused(t, err) {
			return
		}
		lines := linesOf(data)
		each(t, drain(t, src), 2, len(lines), func(n int) bool {
			return len(bytes.Trim(bytes.TrimRight(lines[n-1], "\r\n"), " \t,;\"")) == 0
		})
	})
}

// Every line and every element of a list is answered once, as a document or
// with what is wrong.
func FuzzDocuments(f *testing.F) {
	const doc = `{"rubric": "throw-to-second", "player": {"ref": "P-1", "age": 12}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"exchange_time": 1.02}}]}`
	f.Add([]byte(doc + "\n\n{\"reps\": []}\r\nnull\n"))
	f.Add([]byte("[" + doc + ", 1, {\"a\": 1, \"a\": 2}]"))
	f.Add([]byte(doc + doc))
	f.Fuzz(func(t *testing.T, data []byte) {
		lines := linesOf(data)
		each(t, drain(t, NDJSON(bytes.NewReader(data))), 1, len(lines), func(n int) bool {
			return len(bytes.TrimSpace(lines[n-1])) == 0
		})
		src, many, err := JSON(data)
		if refused(t, err) {
			return
		}
		told := drain(t, src)
		each(t, told, 1, len(told), func(int) bool { return false })
		if !many && len(told) != 1 {
			t.Fatalf("one document is told as %d", len(told))
		}
	})
}

// Every line of a roster is one row, good or with what is wrong.
func FuzzRoster(f *testing.F) {
	f.Add([]byte("bib,player\n14,P-1\n,P-2\n\"x\n"), true)
	f.Add([]byte("player;bib\nP-1;14;1\n\xff;1\n"), true)
	f.Add([]byte("bib,player,\"bib\n"), true)
	f.Add([]byte(`[{"bib": 14, "player": "P-1"}, {"bib": "x"}, 1]`), false)
	f.Add([]byte(`{"bib": 1e99, "player": null}`), false)
	f.Fuzz(func(t *testing.T, data []byte, table bool) {
		rows, err := readRoster(data, table)
		if refused(t, err) {
			return
		}
		for i, r := range rows {
			said(t, r.slips)
			if good := r.bib != "" && r.player != ""; len(r.slips) == 0 && !good || r.line <= 0 || i > 0 && r.line <= rows[i-1].line {
				t.Fatalf("row %+v", r)
			}
			said(t, []place.Problem{r.locate("bib", place.Problem{Code: "c", Found: "f", Wanted: "w"})})
		}
	})
}

// Every grade is one row; what an item takes, it takes again as it is kept.
func FuzzGrades(f *testing.F) {
	f.Add([]byte("bib,evaluator,item,grade,look\n14,E1,arm,3.5,\n14,E2,hand,yes,2\n14,E2,hand,,x\n"), 2)
	f.Add([]byte("{\"bib\": \"14\", \"evaluator\": \"E1\", \"item\": \"arm\", \"grade\": 3}\nx\n\n{\"grade\": null}"), 1)
	f.Add([]byte(`{"grades": [{"bib": 14, "grade": true, "look": 2147483648}, []]}`), 0)
	items := []TryoutItem{{Item: "arm", Kind: "grade", Range: &[2]float64{1, 5}}, {Item: "hand", Kind: "yes-no"}, {Item: "time", Kind: "quantity", Unit: "s"}}
	f.Fuzz(func(t *testing.T, data []byte, form int) {
		rows, err := readGrades(data, Form(uint(form)%3))
		if refused(t, err) {
			return
		}
		for _, r := range rows {
			said(t, r.slips)
			if r.line <= 0 {
				t.Fatalf("row %+v", r)
			}
			for _, i := range items {
				kept, slip := i.settle(r.grade)
				if slip != nil {
					said(t, []place.Problem{*slip})
				} else if again, slip := i.settle(kept); slip != nil || again != kept {
					t.Fatalf("%q is kept as %q, which would be kept as %q", r.grade, kept, again)
				}
			}
		}
	})
}

// Every entry of a ledger has a line, and what is kept reads as it was.
func FuzzThrows(f *testing.F) {
	f.Add([]byte("date,kind,count,pain,note\n2026-05-04,pitches,68,no,\n2026-05-05,pain,,,sore\n46146,pitchs,x,,\n"), true)
	f.Add([]byte(`[{"date": "2026-05-04", "kind": "innings-caught", "count": "4 1/3"}, {"kind": "pain"}, 3]`), false)
	f.Add([]byte(`{"date": "2026-05-04", "kind": "pitches", "count": -0}`), false)
	on, err := civil.Parse("2026-05-10")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte, table bool) {
		e, err := readEntries(data, table, on)
		if refused(t, err) {
			return
		}
		for line, slips := range e.slips {
			said(t, slips)
			if line < 1 || len(slips) == 0 {
				t.Fatalf("line %d has the slips %+v", line, slips)
			}
		}
		for _, entry := range e.ledger.Entries {
			if entry.Line < 1 || entry.Date.After(on) {
				t.Fatalf("kept %+v", entry)
			}
			if kept, ok := throwOf("P-1", entry); ok && (kept.Count != nil && *kept.Count < 0 || kept.Kind == "") {
				t.Fatalf("%+v is kept as %+v", entry, kept)
			}
		}
	})
}

// A cursor leads to the place it was made for, in that list and that club; no
// other text leads anywhere.
func FuzzCursor(f *testing.F) {
	own, other := store.Club{LogKey: "a"}, store.Club{LogKey: "b"}
	f.Add("P-1", seal(own, "players", "P-1"))
	f.Add("", "A===")
	f.Fuzz(func(t *testing.T, position, cursor string) {
		if got, err := unseal(own, "players", seal(own, "players", position)); err != nil || got != position {
			t.Fatalf("%q comes back as %q, %v", position, got, err)
		}
		if at, err := unseal(own, "players", cursor); err == nil && cursor != seal(own, "players", at) {
			t.Fatalf("%q, which nobody gave, leads to %q", cursor, at)
		}
		for list, of := range map[string]store.Club{"tryouts": own, "players": other} {
			if _, err := unseal(of, list, seal(own, "players", position)); position != "" && err == nil {
				t.Fatalf("a cursor is good in the list %s of %+v", list, of)
			}
		}
	})
}

// No text but the one given opens a link or is a key.
func FuzzSecrets(f *testing.F) {
	ctx := context.Background()
	db, err := sqlstore.Open(ctx, filepath.Join(f.TempDir(), "club.db"))
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { db.Close() })
	if err := db.Migrate(ctx); err != nil {
		f.Fatal(err)
	}
	c := New(db)
	_, key, err := c.AddFirstKey(ctx, "Harbour", NewKey{Role: "read"})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(key)
	f.Add(key + "\x00")
	f.Add(strings.ToLower(key))
	f.Add(strings.Repeat("A", 54))
	f.Add("' OR 1=1 --")
	f.Fuzz(func(t *testing.T, secret string) {
		if _, _, err := c.Authenticate(ctx, secret); secret != key && !errors.Is(err, ErrBadKey) {
			t.Fatalf("%q as a key: %v", secret, err)
		}
		if _, err := c.OpenLink(ctx, secret); !errors.Is(err, store.ErrNotFound) {
			t.Fatalf("%q as a link: %v", secret, err)
		}
	})
}

// An address that a webhook may have is one line of an HTTP request and names
// nothing but an https host; an origin that a club may name keeps to its place
// in a header field.
func FuzzAddress(f *testing.F) {
	c := &Clubs{Sender: webhook.New(false, nil)}
	for _, s := range []string{"https://club.example/hook?a=b", "http://127.0.0.1/", "https://a\r\nX: y/", "https://user@host/", "https://[::1%25lo]:443/", "https://club.example;script-src", "https:\\\\a", "https://é.example"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, address string) {
		if !refused(t, c.checkWebhook(address, nil)) {
			u, err := url.Parse(address)
			if err != nil || u.Scheme != "https" || u.Host == "" || u.User != nil || strings.ContainsFunc(address, unicode.IsControl) {
				t.Fatalf("taken: %q", address)
			}
		}
		if goodOrigin(address) && (!strings.HasPrefix(address, "https://") || strings.ContainsAny(address[len("https://"):], "/;, '\"\r\n\t@?#\\")) {
			t.Fatalf("taken as an origin: %q", address)
		}
	})
}

// A cell for a spreadsheet is no formula, nor is a part of it where semicolons,
// bars or tabs separate cells; what CSV says of it comes back.
func FuzzPlain(f *testing.F) {
	for _, s := range []string{"=1+1", "-3.5", "+1", "@a", "\t=1", " =1", "\r", "-1e5", "-0x1p2", "＝1", "-Inf", "\u00a0=1", "-1;=2", "\ufeff=1", "a\n=1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		plain := Plain(cell)
		if strings.ReplaceAll(plain, "'", "") != strings.ReplaceAll(cell, "'", "") {
			t.Fatalf("%q has become %q", cell, plain)
		}
		parts := strings.Split(strings.NewReplacer("|", ";", "\t", ";", "\r", ";", "\n", ";").Replace(plain), ";")
		for _, part := range parts[1:] { // the first may be a number
			if part = strings.TrimLeft(part, ` "`); part != "" && strings.ContainsRune("=+-@", rune(part[0])) {
				t.Fatalf("%q of %q is a formula", part, plain)
			}
		}
		first := strings.TrimLeft(plain, " ")
		if _, err := strconv.ParseFloat(plain, 64); err != nil && first != "" && strings.ContainsRune("=+-@\t\r\n", rune(first[0])) {
			t.Fatalf("%q is a formula", plain)
		}
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.UseCRLF = true
		if err := w.Write([]string{"a", plain}); err != nil {
			t.Fatal(err)
		}
		w.Flush()
		back, err := csv.NewReader(&b).Read()
		if want := strings.ReplaceAll(plain, "\r", ""); err != nil || len(back) != 2 || strings.ReplaceAll(back[1], "\r", "") != want {
			t.Fatalf("%q comes back as %q, %v", plain, back, err)
		}
	})
}
