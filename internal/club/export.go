package club

import (
	"archive/zip"
	"context"
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"rootcue/internal/store"
)

// An Export is everything held on one player, as files of a ZIP archive: all of
// it as JSON, and what fits a table as CSV too.
type Export struct{ data store.PlayerData }

// ExportPlayer collects everything held on a player. That it was read is
// logged.
func (c *Clubs) ExportPlayer(ctx context.Context, a Actor, ref string) (e Export, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		if e.data, err = tx.ExportPlayer(ctx, ref); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "player.exported", "player/"+e.data.Player.ID, struct{}{})
	})
	return e, err
}

// exportReadme says what is in the archive.
const exportReadme = `Everything held on one player.

player.json         all of it, as it is kept
assessments/*.json  each assessment as it was answered
ledger.csv          the arm ledger, with innings as outs (three an inning)
cues.csv            what was handed out and done
reviews.csv         the instructor's words

In the tables a cell that a spreadsheet would take for a formula begins with an apostrophe.
This is coaching information, not medical advice, and clears nobody to play.
`

// WriteZIP writes the archive. The same data gives the same bytes.
func (e Export) WriteZIP(out io.Writer) error {
	z := zip.NewWriter(out)
	all, err := json.MarshalIndent(e.data, "", "  ")
	if err != nil {
		return err
	}
	files := []struct {
		name string
		data []byte
	}{{"README.txt", []byte(exportReadme)}, {"player.json", append(all, '\n')}}
	for _, a := range e.data.Assessments {
		files = append(files, struct {
			name string
			data []byte
		}{"assessments/" + a.ID + ".json", a.Body})
	}
	for _, f := range files {
		if err := writeFile(z, f.name, f.data); err != nil {
			return err
		}
	}
	for _, t := range []struct {
		name string
		rows [][]string
	}{{"ledger.csv", e.ledger()}, {"cues.csv", e.cues()}, {"reviews.csv", e.reviews()}} {
		if err := writeTable(z, t.name, t.rows); err != nil {
			return err
		}
	}
	return z.Close()
}

func writeFile(z *zip.Writer, name string, data []byte) error {
	w, err := z.Create(name)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

func writeTable(z *zip.Writer, name string, rows [][]string) error {
	w, err := z.Create(name)
	if err != nil {
		return err
	}
	t := csv.NewWriter(w)
	t.UseCRLF = true // RFC 4180
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = Plain(cell)
		}
		if err := t.Write(safe); err != nil {
			return err
		}
	}
	t.Flush()
	return t.Error()
}

// Plain keeps a spreadsheet from taking a cell for a formula: one that begins
// with = + - @, a tab or a line break gets an apostrophe in front (OWASP, "CSV
// injection"). A plain number stays a number.
func Plain(cell string) string {
	first, _ := utf8.DecodeRuneInString(strings.TrimLeft(cell, " "))
	if cell == "" || !strings.ContainsRune("=+-@\t\r\n＝＋－＠", first) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil && !strings.ContainsAny(cell, "xXpPnN_") {
		return cell
	}
	return "'" + cell
}

func (e Export) ledger() [][]string {
	rows := [][]string{{"date", "kind", "count", "count_at_last_batter", "game", "where", "pain", "note", "source", "id", "supersedes", "superseded_by"}}
	for _, t := range e.data.Throws {
		rows = append(rows, []string{t.Date, t.Kind, number(t.Count), number(t.CountAtLastBatter), t.Game, t.Where, t.Pain, t.Note, t.Source, t.ID, orEmpty(t.Supersedes), orEmpty(t.SupersededBy)})
	}
	return rows
}

func (e Export) cues() [][]string {
	rows := [][]string{{"handed_on", "fault", "drill", "done_on", "assessment", "id"}}
	for _, q := range e.data.Cues {
		rows = append(rows, []string{q.HandedOn, q.Fault, q.Drill, orEmpty(q.DoneOn), orEmpty(q.AssessmentID), q.ID})
	}
	return rows
}

func (e Export) reviews() [][]string {
	rows := [][]string{{"assessment", "revision", "released", "at", "note", "review"}}
	for _, r := range e.data.Reviews {
		var said Review
		_ = json.Unmarshal(r.Body, &said) // the whole of it stands beside the note
		rows = append(rows, []string{r.AssessmentID, strconv.Itoa(r.Revision), strconv.FormatBool(r.Released), r.At.String(), said.Note, string(r.Body)})
	}
	return rows
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
