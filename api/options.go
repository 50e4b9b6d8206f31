package api

import (
	"recirc/api/answer"
	"recirc/api/body"
	"recirc/service"
)

// options is what the body of every calculation has in common.
type options struct {
	system      systemDocument
	systemRead  bool // the system is there with its heater and pipes
	us          bool // answer in US customary units
	showWorking bool
}

func (o *options) readSystem(r *body.Reader) { o.systemRead = systemObject.Read(r, &o.system) }

func (o *options) readUnitSystem(r *body.Reader) {
	o.us = oneOf(r, unitSystems) == "us_customary"
}

var unitSystems = []string{"si", "us_customary"}

// openAnswer begins every answer.
func openAnswer(w *answer.Writer) {
	w.OpenObject("")
	w.Text("version", service.Version)
	w.Text("unit_system", unitSystemOf(w))
}

func unitSystemOf(w *answer.Writer) string {
	if w.US {
		return unitSystems[1]
	}
	return unitSystems[0]
}
