package cli

// commands is the command line: one command a file.
type commands struct {
	Assess   assessCmd   `cmd:"" help:"Judge observations: faults, causes, cost, what to work on."`
	Check    checkCmd    `cmd:"" help:"Check rubric and workload policy files; every problem with its place."`
	Compare  compareCmd  `cmd:"" help:"Show which findings, chains and cues change between two rubrics."`
	Schema   schemaCmd   `cmd:"" help:"Print the JSON Schema of a document, for editors."`
	Marks    marksCmd    `cmd:"" help:"Show each measure derived from marks, with its uncertainty and source."`
	Sheet    sheetCmd    `cmd:"" help:"Print the field sheet of a rubric: cameras, moments to mark, a form."`
	Flight   flightCmd   `cmd:"" help:"Time and angle of a throw from its speed, or speed from its time."`
	Race     raceCmd     `cmd:"" help:"The chance that the runner is out."`
	Tryout   tryoutCmd   `cmd:"" help:"Fair grades from a panel: agreement, severity, standing with intervals."`
	Plan     planCmd     `cmd:"" help:"One plan for a group's practice."`
	Workload workloadCmd `cmd:"" help:"What the workload rules allow an arm on a date."`
	Serve    serveCmd    `cmd:"" help:"Run the HTTP server."`
	Ready    readyCmd    `cmd:"" help:"Ask the server on this machine whether it can serve."`
	Key      keyCmd      `cmd:"" help:"Make, list and revoke the keys of a club."`
	Migrate  migrateCmd  `cmd:"" help:"Bring a database up to this program."`
	Backup   backupCmd   `cmd:"" help:"Write everything to a file, while others work."`
	Restore  restoreCmd  `cmd:"" help:"Read a backup into a new database."`
	Verify   verifyCmd   `cmd:"" help:"Recompute the chain of the change log."`
}
