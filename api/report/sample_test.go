package report_test

import "recirc/api/report"

// sample is an invented report with every kind of finding, and texts that no
// format writes as they are.
func sample() *report.Report {
	rules := []report.Rule{
		{
			ID: "length", Set: "code", Document: "Code of an invented town", Edition: "2024", Clause: "6.2", Requirement: "No more than 50 ft.",
			Advice: "Bring the source nearer.", Severity: report.Violation, Source: "town", Reading: "memory", Note: "Read twice.",
		},
		{ID: "check_valve", Set: "practice", Document: "practice", Edition: "none", Clause: "return", Requirement: "A check valve on the return.", Advice: "Add one.", Severity: report.Caution, Source: "town", Reading: "verified"},
		{ID: "air", Set: "practice", Document: "practice", Edition: "none", Clause: "pump", Requirement: "Air can be let out.", Advice: "", Severity: report.Advice, Source: "town", Reading: "verified"},
	}
	length := report.Amount{Number: "52", Unit: "ft"}
	limit := report.Amount{Number: "50", Unit: "ft"}
	return &report.Report{
		Version: "1.2.3", AsOf: "2026-11-25", Rules: rules, Compared: true,
		Files: []report.File{
			{
				Name: "north wing/house é.yaml",
				Findings: []report.Finding{
					{Rule: 0, Status: report.NotMet, Element: "/system/fixtures/0", Name: "basin <1> & \"2\", 'x'", Elements: 1, Detail: "52 ft, not 50 ft.", Advice: "Bring the source nearer.", Value: length, Limit: limit, LimitIs: "at_most", From: "heater", Fingerprint: "f1", At: report.Position{Line: 12, Column: 7}, Fails: true},
					{Rule: 0, Status: report.NotMet, Element: "/system/fixtures/1", Name: "sink\x1b[31m\n]]>", Elements: 1, Detail: "Twice as long,\r\n\"far\".", Value: length, Limit: limit, LimitIs: "at_most", Fingerprint: "f2", At: report.Position{Line: 13, Column: 7}, Waiver: &report.Waiver{Reason: "Decided by the owner; see <minutes>", Until: "2027-01-31", State: report.InForce}},
					{Rule: 0, Status: report.Met, Element: "/system/fixtures/2", Name: "bar", Elements: 3, Detail: "10 ft.", Value: report.Amount{Number: "10", Unit: "ft"}, Limit: limit, LimitIs: "at_most", Fingerprint: "f3", At: report.Position{Line: 14, Column: 7}},
					{Rule: 1, Status: report.NotMet, Element: "", Elements: 1, Detail: "There is none.", Advice: "Add one.", Fingerprint: "f4", At: report.Position{Line: 1, Column: 1}, Known: true},
					{Rule: 2, Status: report.NotAssessed, Element: "", Elements: 1, Detail: "air_release is not given.", Fingerprint: "f5", At: report.Position{Line: 1, Column: 1}},
				},
				Notes: []string{"Hot water scalds."},
			},
			{Name: "/abs/b.json", Faults: []report.Fault{{Code: "unit_unknown", Element: "/system/pipes/0/length/unit", Detail: "\"yd\" is not a unit.", At: report.Position{Line: 3, Column: 9}}}},
			{Name: "c.json", Findings: []report.Finding{{Rule: 2, Status: report.NotMet, Element: "", Elements: 1, Detail: "It cannot.", Fingerprint: "f5", Waiver: &report.Waiver{Reason: "Later.", Until: "2026-01-31", State: report.Expired}, At: report.Position{Line: 1, Column: 1}}}},
		},
	}
}

// answered is the report of a request, which has no file and no baseline.
func answered() *report.Report {
	r := sample()
	r.Files, r.Compared = r.Files[:1], false
	f := &r.Files[0]
	f.Name = ""
	for i := range f.Findings {
		f.Findings[i].At, f.Findings[i].Known = report.Position{}, false
	}
	return r
}
