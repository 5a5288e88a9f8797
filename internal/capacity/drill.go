package main

// drill is how whoever runs the service sees the end of a setup coming. The
// metrics are those of /metrics and of PostgreSQL's own views.
const drill = `
## To see it coming

Once a month, and before the season, compare a Saturday's figures with these. Each comes well before anybody waits.

| watch | alarm | do |
| --- | --- | --- |
| ` + "`sum(rate(rootcue_requests_total[5m]))`" + ` | the alarm of the setup, above | the next setup of the table |
| ` + "`histogram_quantile(0.99, sum by (le) (rate(rootcue_request_seconds_bucket{route=\"/v1/observations\"}[5m])))`" + ` | over 0.25 s for 10 minutes without an import | see which of the next two rises |
| ` + "`rate(process_cpu_seconds_total[5m])`" + `, a server | over 60 % of its processors | a server more |
| processors of the database's machine | over 60 % | larger machine; then pages from a replica |
| ` + "`rate(rootcue_requests_total{status=~\"429\\|503\"}[5m])`" + ` | any for 5 minutes | 503: as above; 429: a key in a loop, ask its club |
| ` + "`rootcue_requests_in_flight`" + ` | over 16 a server for 5 minutes | the database is slow: locks (` + "`pg_stat_activity`" + `), disk |
| ` + "`pg_database_size`" + `, or the file of the embedded one | 60 % of the disk | disk; ` + "`keep_months`" + `; partitions |
| ` + "`blks_hit / (blks_hit + blks_read)`" + ` of ` + "`pg_stat_database`" + ` | under 99 % | memory for the indexes of the running season; partitions |
| time of ` + "`rootcue backup`" + ` | over an hour | the database's own continuous archiving, with ` + "`rootcue backup`" + ` weekly |
| ` + "`process_resident_memory_bytes`" + `, ` + "`process_open_fds`" + ` | rising from day to day | a leak: take a profile, start the servers again one by one |
`
