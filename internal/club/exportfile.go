package club

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"unicode/utf8"

	"rootcue/internal/store"
)

// An exportFile is one file of an archive: a table as it is kept in JSON, or as
// a table of a spreadsheet.
type exportFile struct {
	name  string
	table string // one of store.ExportTables; "": the file is text
	text  string
	head  []string           // of a spreadsheet
	cells func(any) []string // of a row in it
}

// A piece is what one page of rows adds to a file.
type piece struct {
	bytes []byte
	rows  int
	next  string // where the file goes on; "": it is whole
}

// exportFiles are the files of a player's archive, or of the club's.
func exportFiles(player string) []exportFile {
	whose := "a player"
	if player == "" {
		whose = "the club, except sessions and the secrets of keys, links and webhooks"
	}
	files := []exportFile{{name: "README.txt", text: "Everything held on " + whose + ".\n" + exportReadme}}
	for _, t := range store.ExportTables {
		if player == "" || t.OfPlayer {
			files = append(files, exportFile{name: t.Name + ".json", table: t.Name})
		}
	}
	return append(files,
		exportFile{name: "ledger.csv", table: "throws", cells: ledgerCells, head: []string{"player", "date", "kind", "count", "count_at_last_batter", "game", "where", "pain", "note", "source", "id", "supersedes", "superseded_by"}},
		exportFile{name: "cues.csv", table: "cues", cells: cueCells, head: []string{"player", "handed_on", "fault", "drill", "done_on", "assessment", "id"}},
		exportFile{name: "reviews.csv", table: "reviews", cells: reviewCells, head: []string{"assessment", "revision", "released", "at", "note", "review"}})
}

// exportReadme says what is in the archive.
const exportReadme = `
*.json       each table as it is kept; assessments.json has each assessment as it was answered
ledger.csv   the arm ledger, with innings as outs (three an inning)
cues.csv     what was handed out and done
reviews.csv  the instructor's words

Each table is read page by page: what was changed meanwhile is as it was when its page was read.
In the .csv files a cell that a spreadsheet would take for a formula begins with an apostrophe, and so does what
follows a semicolon, a bar, a tab or a line break within a cell.
This is coaching information, not medical advice, and clears nobody to play.
`

// piece reads and writes the page after a place in the table; "" is the start.
func (f exportFile) piece(ctx context.Context, tx store.Tx, player, after string) (piece, error) {
	if f.table == "" {
		return piece{bytes: []byte(f.text)}, nil
	}
	rows, next, err := tx.ExportRows(ctx, f.table, player, after, exportRows)
	if err != nil {
		return piece{}, err
	}
	write := jsonRows
	if f.cells != nil {
		write = f.csvRows
	}
	b, err := write(rows, after == "", next == "")
	return piece{b, len(rows), next}, err
}

// jsonRows writes a page of a JSON array.
func jsonRows(rows []any, first, last bool) ([]byte, error) {
	var out bytes.Buffer
	if first {
		out.WriteByte('[')
	}
	for i, row := range rows {
		b, err := json.Marshal(row)
		if err != nil {
			return nil, err
		}
		if !first || i > 0 {
			out.WriteByte(',')
		}
		out.WriteByte('\n')
		out.Write(b)
	}
	if last {
		out.WriteString("\n]\n")
	}
	return out.Bytes(), nil
}

// csvRows writes a page of a table (RFC 4180).
func (f exportFile) csvRows(rows []any, first, _ bool) ([]byte, error) {
	var out bytes.Buffer
	t := csv.NewWriter(&out)
	t.UseCRLF = true
	if first {
		_ = t.Write(f.head) // a buffer takes everything; see t.Error
	}
	for _, row := range rows {
		cells := f.cells(row)
		for i := range cells {
			cells[i] = Plain(cells[i])
		}
		_ = t.Write(cells)
	}
	t.Flush()
	return out.Bytes(), t.Error()
}

// Plain keeps a spreadsheet from taking a cell for a formula: one that begins
// with = + - @, a tab or a line break gets an apostrophe in front (OWASP, "CSV
// injection"). A plain number stays a number. Where semicolons or tabs separate
// cells, as in countries with a decimal comma, quotes around the cell do not
// keep it together: so what follows a separator or a line break within it is
// treated as a cell of its own.
func Plain(cell string) string {
	if _, err := strconv.ParseFloat(cell, 64); err == nil && !strings.ContainsAny(cell, "xXpPnN_") {
		return cell
	}
	if begins(cell, " ", "\t\r\n") {
		cell = "'" + cell
	}
	var out strings.Builder
	for i := range len(cell) {
		out.WriteByte(cell[i])
		if strings.IndexByte(";|\t\r\n", cell[i]) >= 0 && begins(cell[i+1:], ` "`, "") {
			out.WriteByte('\'')
		}
	}
	return out.String()
}

// begins tells whether a formula stands behind what is passed over, or what else
// does not begin a cell.
func begins(text, over, also string) bool {
	first, size := utf8.DecodeRuneInString(strings.TrimLeft(text, over))
	return size > 0 && strings.ContainsRune("=+-@＝＋－＠"+also, first)
}

func ledgerCells(row any) []string {
	t := row.(store.Throw)
	return []string{t.PlayerRef, t.Date, t.Kind, number(t.Count), number(t.CountAtLastBatter), t.Game, t.Where, t.Pain, t.Note, t.Source, t.ID, orEmpty(t.Supersedes), orEmpty(t.SupersededBy)}
}

func cueCells(row any) []string {
	q := row.(store.Cue)
	return []string{q.PlayerRef, q.HandedOn, q.Fault, q.Drill, orEmpty(q.DoneOn), orEmpty(q.AssessmentID), q.ID}
}

func reviewCells(row any) []string {
	r := row.(store.Review)
	var said Review
	_ = json.Unmarshal(r.Body, &said) // the whole of it stands beside the note
	return []string{r.AssessmentID, strconv.Itoa(r.Revision), strconv.FormatBool(r.Released), r.At.String(), said.Note, string(r.Body)}
}

func number(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

func orEmpty(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}
