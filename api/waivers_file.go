package api

import (
	"errors"
	"fmt"
	"strings"

	"recirc/api/body"
	"recirc/api/designfile"
	"recirc/calc/fault"
	"recirc/calc/rule"
	"recirc/service"
)

// waiversFile is a file of waivers, which many designs share.
type waiversFile struct{ waivers []service.Waiver }

var waiversFileObject = body.NewObject("WaiversFile", body.Required("waivers", func(r *body.Reader, f *waiversFile) {
	r.List(0, mostWaivers, func(int) {
		var w service.Waiver
		waiverObject.Read(r, &w)
		if _, found := rule.Find(w.Rule); !found && w.Rule != "" {
			r.FaultAt("rule", fault.RuleUnknown, "There is no rule %s; GET /v1/rules lists the rules.", body.Shown(w.Rule))
		}
		f.waivers = append(f.waivers, w)
	})
}))

// ReadWaivers reads a file {"waivers": [...]}, JSON or YAML, with waivers as a
// request has them. Its error has a line for each fault.
func ReadWaivers(name, text string, limits Limits) ([]service.Waiver, error) {
	file, broken := designfile.Read(name, text, int(limits.BodyBytes))
	if broken != nil {
		return nil, fmt.Errorf("%s:%d:%d: %s", name, broken.Line, broken.Column, broken.Detail)
	}
	var read waiversFile
	var faults fault.List
	_, _ = body.Read(file.JSON, waiversFileObject, &read, &faults) // its grammar is right
	if faults.Empty() {
		return read.waivers, nil
	}
	var lines []string
	for _, f := range faultsIn(file, fromFaults(&faults)) {
		lines = append(lines, fmt.Sprintf("%s:%d:%d: %s", name, f.At.Line, f.At.Column, f.Detail))
	}
	return nil, errors.New(strings.Join(lines, "\n"))
}
