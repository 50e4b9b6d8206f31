package service

// note adds what the findings rest on, and where they can mislead or hurt.
func (c *designCheck) note() {
	a := c.a
	a.noteGallon(c.req.USGallon)
	a.noteSystem(c.g, c.g.SupplyOrder())
	for i := range a.Findings {
		a.use(a.Findings[i].Rule.Source)
	}
	a.cautionScalding(&c.req.System)
	a.cautionStagnation()
	a.cautionCompliance()
}
