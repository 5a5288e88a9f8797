package api

// DemoObservation is a small valid observation, for a first try on the
// command line.
const DemoObservation = `{"rubric":"throw-to-second","player":{"ref":"D-01","age":14},"on":"2026-05-09","reps":[{"rep":1,"measures":{"stride_off_line":17,"exchange_time":1.02}}]}`
