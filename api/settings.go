package api

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"

	"rootcue/internal/club"
)

func (s *Server) settingRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/settings", ID: "read-settings", Tag: "Club", Summary: "Read the club's settings", Role: Edit, Also: []Kind{Unavailable},
		Description: "A club that has decided nothing goes by the settings shown: published pitch limits and the advice on throws a day, an instructor's word before a family's eyes, and dates in UTC.",
	}, s.readSettings)
	Add(s, Route{
		Method: "PUT", Path: "/v1/settings", ID: "put-settings", Tag: "Club", Summary: "Change the club's settings", Role: Admin, Replayable: true, Also: []Kind{Changed, NeedsMatch, Unavailable},
		Description: "The whole of them. `If-Match` names the settings that the change was made from.",
	}, s.putSettings)
}

// A SettingsRead is the settings with what a change must name.
type SettingsRead struct {
	ETag string `header:"ETag" hidden:"true"`
	Body club.Settings
}

func settingsRead(s club.Settings) *SettingsRead { return &SettingsRead{settingsTag(s), s} }

func settingsTag(s club.Settings) string {
	b, _ := json.Marshal(s) // plain values
	sum := sha256.Sum256(b)
	return `"` + base64.RawURLEncoding.EncodeToString(sum[:12]) + `"`
}

func (s *Server) readSettings(ctx context.Context, _ *None) (*SettingsRead, error) {
	is, err := s.Clubs.Settings(ctx, actor(ctx))
	return settingsRead(is), err
}

func (s *Server) putSettings(ctx context.Context, in *struct {
	IfMatch string `header:"If-Match" doc:"The ETag that the change was made from"`
	Body    club.Settings
}) (*SettingsRead, error) {
	if in.IfMatch == "" {
		return nil, needsMatch()
	}
	err := s.Clubs.PutSettings(ctx, actor(ctx), in.Body, func(was club.Settings) bool { return SameTag(in.IfMatch, settingsTag(was)) })
	return settingsRead(in.Body), err
}

func needsMatch() *Problem {
	return NeedsMatch.At(Slip{Code: "needs-if-match", Parameter: "header.If-Match", Found: "no If-Match", Wanted: "the ETag that the change was made from", Hint: "read it first"})
}
