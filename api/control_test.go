package api

import (
	"regexp"
	"testing"

	"recirc/calc/quantity"
)

// TestClockTimesAreTheContracts tries every two letters in the place of hours and
// minutes, and of seconds: reader and contract take the same texts.
func TestClockTimesAreTheContracts(t *testing.T) {
	pattern := regexp.MustCompile(contractDocument(t).Components.Schemas["ClockTime"].Value.Pattern)
	var pairs []string
	for _, a := range "-+ .:0123456789" {
		for _, b := range "-+ .:0123456789" {
			pairs = append(pairs, string(a)+string(b))
		}
	}
	texts := []string{"", ":", "::", "6:30", "006:30", "06:3", "06:300", "0630", "06-30", "06:30:15:00", "24:00:00", "\u0660\u0661:00", "06:30\n", "06:30Z"}
	for _, a := range pairs {
		texts = append(texts, "06:30:"+a, "24:00:"+a)
		for _, b := range pairs {
			texts = append(texts, a+":"+b)
		}
	}
	taken := 0
	for _, text := range texts {
		seconds, ok := parseClock(text)
		if ok != pattern.MatchString(text) {
			t.Errorf("%q: taken %v, by the contract %v", text, ok, !ok)
		}
		if !ok {
			continue
		}
		taken++
		if again, ok := parseClock(writeClock(quantity.Seconds(float64(seconds)))); !ok || again != seconds {
			t.Errorf("%q is %d s, written and read again %d s (%v)", text, seconds, again, ok)
		}
	}
	if want := 24*60 + 1 + 60; taken != want { // minutes of a day and its end, seconds of one minute
		t.Errorf("%d texts are times of day, want %d", taken, want)
	}
}

// TestClockTimes reads and writes times worked out by hand.
func TestClockTimes(t *testing.T) {
	for _, row := range []struct {
		text    string
		seconds int
		written string
	}{
		{"00:00", 0, "00:00"},
		{"06:30", 23_400, "06:30"},
		{"08:30:30", 30_630, "08:30:30"},
		{"17:00:00", 61_200, "17:00"},
		{"23:59:59", 86_399, "23:59:59"},
		{"24:00", 86_400, "24:00"},
	} {
		seconds, ok := parseClock(row.text)
		if !ok || seconds != row.seconds {
			t.Errorf("%s is %d s (%v), want %d s", row.text, seconds, ok, row.seconds)
		}
		if got := writeClock(quantity.Seconds(float64(row.seconds))); got != row.written {
			t.Errorf("%d s is written %s, want %s", row.seconds, got, row.written)
		}
	}
}
