package report

import (
	"net/url"
	"path/filepath"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// sarifSchema is the place of the schema that the OASIS standard names.
const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// SARIF writes a log of the Static Analysis Results Interchange Format, version
// 2.1.0 (OASIS): one run, with every rule that is named, and a result for each
// finding. A rule that is not met is a result of kind fail at the level of its
// severity, one that is met of kind pass, one that could not be assessed of kind
// open. Waivers are suppressions. What is wrong with a file is a notification.
func SARIF(r *Report) ([]byte, error) {
	run := sarifRun{ColumnKind: "unicodeCodePoints", Results: []sarifResult{}}
	run.Tool.Driver = sarifDriver{
		Name: "recirc", SemanticVersion: r.Version,
		ShortDescription: sarifText{"Checks of hot-water designs against published rules and good practice. They never say that a design complies."},
		Rules:            sarifRules(r.Rules),
	}
	ended := sarifInvocation{ExecutionSuccessful: true}
	for i := range r.Files {
		f := &r.Files[i]
		for j := range f.Findings {
			run.Results = append(run.Results, sarifResultOf(r, f, &f.Findings[j]))
		}
		for j := range f.Faults {
			ended.ExecutionSuccessful = false
			ended.Notifications = append(ended.Notifications, sarifNotificationOf(f, &f.Faults[j]))
		}
	}
	run.Invocations = []sarifInvocation{ended}
	log := sarifLog{Schema: sarifSchema, Version: "2.1.0", Runs: []sarifRun{run}}
	text, err := json.Marshal(&log, jsontext.AllowInvalidUTF8(true)) // names of files are any bytes
	return append(text, '\n'), err
}

func sarifRules(rules []Rule) []sarifRule {
	all := make([]sarifRule, len(rules))
	for i := range rules {
		r := &rules[i]
		place := r.place()
		help := strings.TrimSpace(r.Advice + " Rule: " + place + ". Local codes and the authority having jurisdiction decide whether a design complies.")
		all[i] = sarifRule{
			ID: r.ID, ShortDescription: sarifText{r.Requirement}, FullDescription: sarifText{place + ": " + r.Requirement}, Help: sarifText{help},
			Default: sarifConfiguration{sarifLevel(r.Severity)},
			Properties: sarifRuleProperties{
				Set: r.Set, Document: r.Document, Edition: r.Edition, Clause: r.Clause, Severity: r.Severity, Source: r.Source, Reading: r.Reading, Note: r.Note, Tags: []string{r.Set},
			},
		}
	}
	return all
}

func sarifLevel(s Severity) string {
	switch s {
	case Violation:
		return "error"
	case Caution:
		return "warning"
	}
	return "note"
}

func sarifResultOf(r *Report, f *File, x *Finding) sarifResult {
	rule := &r.Rules[x.Rule]
	result := sarifResult{
		RuleID: rule.ID, RuleIndex: x.Rule, Message: sarifText{strings.Join(nonEmpty(x.Detail, x.Advice), " ")}, Locations: []sarifLocation{sarifLocationOf(f, x.Element, x.Name, x.At)},
		PartialFingerprints: map[string]string{"finding/v1": x.Fingerprint},
		Properties:          sarifResultProperties{Status: x.Status, Value: x.Value.String(), Limit: x.Limit.String(), LimitIs: x.LimitIs, From: x.From},
	}
	switch x.Status {
	case Met:
		result.Kind, result.Level = "pass", "none"
	case NotAssessed:
		result.Kind, result.Level = "open", "none"
	default:
		result.Kind, result.Level = "fail", sarifLevel(rule.Severity)
		if r.Compared {
			result.BaselineState = "new"
			if x.Known {
				result.BaselineState = "unchanged"
			}
		}
	}
	if x.Waiver != nil {
		result.Suppressions = []sarifSuppression{{Kind: "external", Status: suppressionStatus[x.Waiver.State], Justification: x.Waiver.Reason, Properties: sarifUntil{x.Waiver.Until}}}
	}
	return result
}

// suppressionStatus is how the standard calls the states of waivers; a result is
// suppressed by one that is accepted.
var suppressionStatus = map[WaiverState]string{InForce: "accepted", Expired: "rejected", NotJudged: "underReview"}

func sarifNotificationOf(f *File, x *Fault) sarifNotification {
	return sarifNotification{
		Level: "error", Message: sarifText{x.Detail}, Descriptor: sarifDescriptor{x.Code},
		Locations: []sarifLocation{sarifLocationOf(f, x.Element, "", x.At)},
	}
}

func sarifLocationOf(f *File, element, name string, at Position) sarifLocation {
	l := sarifLocation{Logical: []sarifLogical{{FullyQualifiedName: element, Name: name, Kind: "value"}}}
	if f.Name != "" {
		l.Physical = &sarifPhysical{Artifact: sarifArtifact{fileURI(f.Name)}}
		if at.Line > 0 {
			l.Physical.Region = &sarifRegion{at.Line, at.Column}
		}
	}
	return l
}

// fileURI is a name of a file as a URI, relative if the name is.
func fileURI(name string) string {
	slashed := filepath.ToSlash(name)
	if filepath.IsAbs(name) {
		return (&url.URL{Scheme: "file", Path: slashed}).String()
	}
	return (&url.URL{Path: slashed}).String()
}

// What follows has the names of the standard.

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool struct {
		Driver sarifDriver `json:"driver"`
	} `json:"tool"`
	Invocations []sarifInvocation `json:"invocations"`
	Results     []sarifResult     `json:"results"`
	ColumnKind  string            `json:"columnKind"`
}

type sarifDriver struct {
	Name             string      `json:"name"`
	SemanticVersion  string      `json:"semanticVersion"`
	ShortDescription sarifText   `json:"shortDescription"`
	Rules            []sarifRule `json:"rules"`
}

type sarifText struct {
	Text string `json:"text"`
}

type sarifRule struct {
	ID               string              `json:"id"`
	ShortDescription sarifText           `json:"shortDescription"`
	FullDescription  sarifText           `json:"fullDescription"`
	Help             sarifText           `json:"help"`
	Default          sarifConfiguration  `json:"defaultConfiguration"`
	Properties       sarifRuleProperties `json:"properties"`
}

type sarifConfiguration struct {
	Level string `json:"level"`
}

type sarifRuleProperties struct {
	Set      string   `json:"set"`
	Document string   `json:"document"`
	Edition  string   `json:"edition"`
	Clause   string   `json:"clause"`
	Severity Severity `json:"severity"`
	Source   string   `json:"source"`
	Reading  string   `json:"reading"`
	Note     string   `json:"note,omitempty"`
	Tags     []string `json:"tags"`
}

type sarifResult struct {
	RuleID              string                `json:"ruleId"`
	RuleIndex           int                   `json:"ruleIndex"`
	Kind                string                `json:"kind"`
	Level               string                `json:"level"`
	Message             sarifText             `json:"message"`
	Locations           []sarifLocation       `json:"locations"`
	PartialFingerprints map[string]string     `json:"partialFingerprints"`
	BaselineState       string                `json:"baselineState,omitempty"`
	Suppressions        []sarifSuppression    `json:"suppressions,omitempty"`
	Properties          sarifResultProperties `json:"properties"`
}

type sarifResultProperties struct {
	Status  Status `json:"status"`
	Value   string `json:"value,omitempty"`
	Limit   string `json:"limit,omitempty"`
	LimitIs string `json:"limitIs,omitempty"`
	From    string `json:"measuredFrom,omitempty"`
}

type sarifLocation struct {
	Physical *sarifPhysical `json:"physicalLocation,omitempty"`
	Logical  []sarifLogical `json:"logicalLocations"`
}

type sarifPhysical struct {
	Artifact sarifArtifact `json:"artifactLocation"`
	Region   *sarifRegion  `json:"region,omitempty"`
}

type sarifArtifact struct {
	URI string `json:"uri"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn"`
}

type sarifLogical struct {
	Name               string `json:"name,omitempty"`
	FullyQualifiedName string `json:"fullyQualifiedName"`
	Kind               string `json:"kind"`
}

type sarifSuppression struct {
	Kind          string     `json:"kind"`
	Status        string     `json:"status"`
	Justification string     `json:"justification"`
	Properties    sarifUntil `json:"properties"`
}

type sarifUntil struct {
	Until string `json:"until,omitempty"`
}

type sarifInvocation struct {
	ExecutionSuccessful bool                `json:"executionSuccessful"`
	Notifications       []sarifNotification `json:"toolExecutionNotifications,omitempty"`
}

type sarifNotification struct {
	Level      string          `json:"level"`
	Message    sarifText       `json:"message"`
	Descriptor sarifDescriptor `json:"descriptor"`
	Locations  []sarifLocation `json:"locations"`
}

type sarifDescriptor struct {
	ID string `json:"id"`
}
