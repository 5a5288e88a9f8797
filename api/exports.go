package api

import (
	"context"
	"io"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"rootcue/internal/store"
)

func (s *Server) exportRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/players/{ref}/export", ID: "export-player", Tag: "Players", Summary: "Everything held on a player", Role: Admin, Also: []Kind{Unavailable},
		Description: "One ZIP archive, sent while it is read: every table as JSON, and the ledger, cues and reviews as tables too, in which no cell is a formula to a spreadsheet. That it was exported is logged.",
		Answer:      Text(zipType),
	}, s.exportPlayer)
	Add(s, Route{
		Method: "POST", Path: "/v1/exports", ID: "add-export", Tag: "Players", Summary: "Have an export made", Role: Admin, Replayable: true, Also: []Kind{Unavailable}, Status: 202,
		Description: "Of one player, or of the whole club where none is named. A job makes the archive; when `/v1/jobs/{job}` says `done`, it can be fetched at `/v1/exports/{export}` for a day from when it was asked for. Erasing a player takes every export along that holds the player.",
	}, s.addExport)
	Add(s, Route{
		Method: "GET", Path: "/v1/exports/{id}", ID: "read-export", Tag: "Players", Summary: "Fetch an export", Role: Admin, Also: []Kind{Conflict, Unavailable},
		Description: "The ZIP archive, as often as wanted until it expires: 409 while it is being made, 404 after it has expired. It breaks off, and is no whole archive, when it expires or a player in it is erased meanwhile. That it was fetched is logged.",
		Answer:      Text(zipType),
	}, s.readExport)
}

const zipType = "application/zip"

func (s *Server) exportPlayer(_ context.Context, in *ByRef) (*huma.StreamResponse, error) {
	return s.zip("player.zip", func(ctx context.Context, out io.Writer, ready func()) error {
		return s.Clubs.WritePlayer(ctx, actor(ctx), in.Ref, out, ready)
	}), nil
}

func (s *Server) readExport(_ context.Context, in *ByID) (*huma.StreamResponse, error) {
	return s.zip("export.zip", func(ctx context.Context, out io.Writer, ready func()) error {
		return s.Clubs.WriteExport(ctx, actor(ctx), in.ID, out, ready)
	}), nil
}

// zip answers with an archive while it is written. What fails before it is
// ready is a problem; after that the connection is cut, so that nobody takes
// half of it for the whole.
func (s *Server) zip(name string, write func(context.Context, io.Writer, func()) error) *huma.StreamResponse {
	return &huma.StreamResponse{Body: func(h huma.Context) {
		c, started := humagin.Unwrap(h), false
		err := write(c.Request.Context(), &patientWriter{c}, func() {
			started = true
			c.Header("Content-Type", zipType)
			c.Header("Content-Disposition", `attachment; filename="`+name+`"`)
			c.Header("Cache-Control", "private, no-store")
			c.Writer.Flush() // from here on it goes out as it is written
		})
		switch {
		case err != nil && started:
			_ = c.Error(err) // to the log
			panic(http.ErrAbortHandler)
		case err != nil:
			s.refuse(c, failed(err))
		}
	}}
}

// A patientWriter gives a client time for each piece, not for all of them.
type patientWriter struct{ c *gin.Context }

// Write writes a piece.
func (w *patientWriter) Write(b []byte) (int, error) {
	_ = http.NewResponseController(w.c.Writer).SetWriteDeadline(time.Now().Add(bodyTime)) // where it cannot be set, the server's own holds
	return w.c.Writer.Write(b)
}

// An ExportWanted says whose data is wanted.
type ExportWanted struct {
	Player string `json:"player,omitempty" maxLength:"100" doc:"The club's reference of one player; left out: everything of the club"`
}

// An ExportAsked names what was asked for.
type ExportAsked struct {
	Export  string     `json:"export" doc:"Where it can be fetched: /v1/exports/{export}"`
	Job     string     `json:"job" doc:"The job that makes it"`
	Expires store.Time `json:"expires" doc:"Until when it can be fetched"`
}

func (s *Server) addExport(ctx context.Context, in *struct{ Body ExportWanted }) (*Answer[ExportAsked], error) {
	asked, err := s.Clubs.Export(ctx, actor(ctx), in.Body.Player)
	return &Answer[ExportAsked]{ExportAsked(asked)}, err
}
