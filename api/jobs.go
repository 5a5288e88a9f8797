package api

import (
	"context"
	"fmt"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"rootcue/internal/club"
)

func (s *Server) jobRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/jobs/{id}", ID: "read-job", Tag: "Operation", Summary: "How far a job is", Role: Edit, Also: []Kind{Unavailable},
		Description: "With `Accept: text/event-stream`, an event whenever something changes, until the job has ended. An ended job can be asked about for a week.",
		Answer:      &Form{typed[club.Job], []string{jsonType, eventType}},
	}, s.readJob)
	Add(s, Route{
		Method: "DELETE", Path: "/v1/jobs/{id}", ID: "cancel-job", Tag: "Operation", Summary: "Cancel a job", Role: Edit, Also: []Kind{Unavailable},
		Description: "What it has done until then stays. One that has ended stays as it is.",
	}, s.cancelJob)
}

// eventType is a stream of server-sent events (HTML Standard, 9.2).
const eventType = "text/event-stream"

// How often a job is looked at for a stream, and how long a stream lasts: the
// client comes again by itself.
const (
	jobPoll   = 500 * time.Millisecond
	jobStream = 100 * time.Second
)

func (s *Server) readJob(ctx context.Context, in *struct {
	ByID
	Accept string `header:"Accept" hidden:"true"`
}) (*huma.StreamResponse, error) {
	j, err := s.Clubs.Job(ctx, actor(ctx), in.ID)
	if err != nil {
		return nil, err
	}
	return &huma.StreamResponse{Body: func(h huma.Context) {
		c := humagin.Unwrap(h)
		if Prefer(in.Accept, []string{jsonType, eventType}) == eventType {
			s.streamJob(c, in.ID, j)
			return
		}
		c.Header("Content-Type", jsonType)
		if err := writeJSON(c.Writer, j); err != nil {
			_ = c.Error(err) // to the log
		}
	}}, nil
}

// streamJob sends a job whenever it changes, until it has ended.
func (s *Server) streamJob(c *gin.Context, id string, j club.Job) {
	ctx, cancel := context.WithTimeout(c.Request.Context(), jobStream)
	defer cancel()
	c.Header("Content-Type", eventType)
	c.Header("Cache-Control", "no-store")
	tick := time.NewTicker(jobPoll)
	defer tick.Stop()
	sent := club.Job{}
	for {
		if j != sent {
			if sendEvent(c, j) != nil {
				return // the client is gone
			}
			sent = j
		}
		if j.Ended() {
			return
		}
		idle(c, func() {
			select {
			case <-ctx.Done():
			case <-stopping(ctx):
				cancel()
			case <-tick.C:
			}
		})
		if ctx.Err() != nil {
			return
		}
		next, err := s.Clubs.Job(ctx, actor(ctx), id)
		if err != nil {
			return // the client asks again and is told
		}
		j = next
	}
}

func sendEvent(c *gin.Context, j club.Job) error {
	if _, err := fmt.Fprintf(c.Writer, "event: job\ndata: "); err != nil {
		return err
	}
	if err := writeJSON(c.Writer, j); err != nil {
		return err
	}
	_, err := fmt.Fprint(c.Writer, "\n\n")
	c.Writer.Flush()
	return err
}

func (s *Server) cancelJob(ctx context.Context, in *ByID) (*Answer[club.Job], error) {
	j, err := s.Clubs.CancelJob(ctx, actor(ctx), in.ID)
	return &Answer[club.Job]{j}, err
}
