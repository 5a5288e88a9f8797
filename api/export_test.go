package api

// ClubProblem is clubProblem, for tests outside the package.
var ClubProblem = clubProblem
