package api

import "recirc/service"

// probe is what the probes answer.
func probe() []byte { return []byte(`{"status":"ok","version":"` + service.Version + `"}`) }
