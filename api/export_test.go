package api

// ClubProblem is clubProblem, for tests outside the package.
var ClubProblem = clubProblem

// Pages are the pages for people, as "GET /groups".
func (s *Server) Pages() []string { return s.pages }
