package api

import "recirc/api/body"

// options is what the body of every calculation has in common.
type options struct {
	system      systemDocument
	systemRead  bool // the system is there with its heater and pipes
	units       units
	showWorking bool
}

func (o *options) readSystem(r *body.Reader) { o.systemRead = systemObject.Read(r, &o.system) }

func (o *options) readUnitSystem(r *body.Reader) {
	o.units.us = oneOf(r, unitSystems) == "us_customary"
}

var unitSystems = []string{"si", "us_customary"}
