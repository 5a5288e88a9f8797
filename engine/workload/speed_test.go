package workload_test

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/engine/civil"
	"rootcue/engine/workload"
)

// busy is a ledger file of n entries over two years, up to today.
func busy(n int) []byte {
	var b strings.Builder
	b.WriteString(header)
	kinds := []string{"pitches", "innings-caught", "practice-throws", "base-throws", "long-toss", "innings-pitched"}
	for i := range n {
		d := today.AddDays(-730 + 730*i/n)
		fmt.Fprintf(&b, "%v,%s,%d,1,no,after dark,,team-%d\n", d, kinds[i%len(kinds)], i%3, i)
	}
	return []byte(b.String())
}

func BenchmarkReadLedger5000(b *testing.B) {
	data := busy(5000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, problems := workload.ReadCSV("l.csv", data, today); len(problems) > 0 {
			b.Fatal(problems[0])
		}
	}
}

func BenchmarkJudge5000Entries(b *testing.B) {
	l, _ := workload.ReadCSV("l.csv", busy(5000), today)
	p := policies(b, "pitch-smart", "little-league", "elementary-throws")
	for b.Loop() {
		workload.Judge(workload.Request{On: today, Age: 12, Ledger: l}, p)
	}
}

func BenchmarkJudge500Players(b *testing.B) {
	l, _ := workload.ReadCSV("l.csv", busy(300), today)
	p := policies(b, "pitch-smart", "little-league", "elementary-throws")
	for b.Loop() {
		for range 500 {
			workload.Judge(workload.Request{On: today, Age: 12, Ledger: l}, p)
		}
	}
}

func BenchmarkGate(b *testing.B) {
	l, _ := workload.ReadCSV("l.csv", busy(300), today)
	p := policies(b, "pitch-smart", "little-league")
	for b.Loop() {
		workload.NewGate(workload.GateInput{On: today, Player: workload.Player{Age: 12}, Policies: p, Ledger: &l})
	}
}

func BenchmarkPlayingAge(b *testing.B) {
	for b.Loop() {
		civil.PlayingAge(2014, 5, today, 4, 30)
	}
}
