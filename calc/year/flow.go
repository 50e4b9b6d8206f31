package year

// catchUp moves a supply pipe, whose parent has been moved, up to now.
func (e *engine) catchUp(i int32) {
	p := &e.pipes[i]
	dt := e.now - p.at
	if dt <= 0 {
		return
	}
	p.at = e.now
	e.work += len(p.slugs) + 1
	if p.users == 0 {
		p.stand(dt)
		return
	}
	if p.parent == None {
		e.feed(p, dt)
	}
	e.work += len(p.inbox)
	e.out = p.move(dt, e.grain, e.out[:0])
	e.pour(i, e.out)
}

// pour shares what runs out at the far end of a supply pipe among all that it serves.
func (e *engine) pour(i int32, out []slug) {
	q := e.pipes[i].q
	for _, c := range e.children[i] {
		if child := &e.pipes[c]; child.users > 0 {
			child.inbox = e.receive(child.inbox, out, child.q/q)
		}
	}
	for _, l := range e.loopsAt[i] {
		if loop := &e.loops[l]; loop.q > 0 {
			loop.inbox = e.receive(loop.inbox, out, loop.q/q)
		}
	}
	for _, d := range e.taps[i] {
		e.work++
		for _, s := range out {
			e.take(d, s.v*(d.q/q), s.T)
		}
	}
}

// receive appends a share of a series to an inbox.
func (e *engine) receive(inbox, series []slug, share float64) []slug {
	for _, s := range series {
		inbox = add(inbox, s.v*share, s.T, e.grain.near)
	}
	if most := 4 * e.grain.most; len(inbox) > most {
		inbox = compact(inbox, most/2, e.grain.near, 0)
	}
	return inbox
}

// reach moves a supply pipe and all before it up to now.
func (e *engine) reach(i int32) {
	path := e.path[:0]
	for j := i; j != None; j = e.pipes[j].parent {
		if p := &e.pipes[j]; p.at == e.now && p.users > 0 {
			break
		}
		path = append(path, j)
	}
	e.work += len(path) / 4
	for k := len(path) - 1; k >= 0; k-- {
		e.catchUp(path[k])
	}
	e.path = path
}

// run changes the flow through a supply pipe and all before it, and how many let
// water run there.
func (e *engine) run(i int32, dq float64, users int32) {
	e.reach(i)
	for j := i; j != None; j = e.pipes[j].parent {
		e.change(j, dq, users)
	}
}

// change changes the flow of one pipe that has been moved up to now.
func (e *engine) change(j int32, dq float64, users int32) {
	p := &e.pipes[j]
	e.work++
	p.users += users
	p.q += dq
	if p.users == 0 {
		p.q = 0
	}
	if p.role == Cold {
		p.turn()
	}
	if p.watched {
		e.wake(j)
	}
}

// runBack changes the flow through a return or cold pipe towards the heater. All such
// pipes have been flushed.
func (e *engine) runBack(i int32, dq float64, users int32) {
	for j := i; j != None; j = e.pipes[j].parent {
		e.still(j)
		e.change(j, -dq, users)
	}
}

// still moves a return or cold pipe up to now in which nothing flows.
func (e *engine) still(j int32) {
	if p := &e.pipes[j]; p.at < e.now {
		p.stand(e.now - p.at)
		p.at = e.now
		e.work += len(p.slugs)
	}
}

// flush moves all returns and cold pipes in which water runs up to now, and before
// them the supply pipes from which it comes.
func (e *engine) flush() {
	if len(e.others) == 0 || e.flushed == e.now {
		return
	}
	for i := range e.loops {
		if e.loops[i].q > 0 {
			e.reach(e.loops[i].from)
		}
	}
	e.flushed = e.now
	e.work += (len(e.others) + len(e.loops)) / 8
	for k := len(e.others) - 1; k >= 0; k-- { // towards the heater: what is farther first
		if i := e.others[k]; e.pipes[i].q < 0 {
			e.flushPipe(i, e.gather(i, true))
		}
	}
	for _, i := range e.others { // away from it: what is nearer first
		if p := &e.pipes[i]; p.q > 0 {
			var series []slug
			if p.parent == None {
				series = append(e.mixed[0][:0], slug{p.q * (e.now - p.at), e.mains})
				e.mixed[0] = series
			} else {
				series = e.gather(p.parent, false)
			}
			e.flushPipe(i, series)
		}
	}
	for _, i := range e.others {
		if len(e.taps[i]) > 0 {
			e.drawCold(i)
		}
	}
	for i := range e.loops {
		e.loops[i].inbox = e.loops[i].inbox[:0]
	}
	for _, i := range e.others {
		e.outs[i] = e.outs[i][:0]
	}
}

// flushPipe lets a pipe's share of what comes together at its upstream end run in.
func (e *engine) flushPipe(i int32, series []slug) {
	p := &e.pipes[i]
	dt := e.now - p.at
	p.at = e.now
	if dt <= 0 {
		return
	}
	q := p.q
	if q < 0 {
		q = -q
	}
	share := 1.0
	if all := volume(series); all > 0 {
		share = q * dt / all
	}
	p.inbox = p.inbox[:0]
	for _, s := range series {
		p.inbox = add(p.inbox, s.v*share, s.T, e.grain.near)
	}
	e.work += len(p.inbox) + len(p.slugs)
	e.outs[i] = p.move(dt, e.grain, e.outs[i][:0])
	if p.parent == None && p.q < 0 {
		e.bringBack(e.outs[i])
	}
}

// gather mixes all that runs to the far end of a return or cold pipe: through pipes
// from beyond, through loops that enter there and, of a cold pipe, through itself.
func (e *engine) gather(i int32, towards bool) []slug {
	sum := e.mixed[0][:0]
	with := func(series []slug) {
		if len(series) == 0 {
			return
		}
		e.mixed[1] = append(e.mixed[1][:0], sum...)
		sum = compact(mix(e.mixed[1], series, sum[:0], e.grain.near), 4*e.grain.most, e.grain.near, 0)
	}
	for _, c := range e.children[i] {
		if e.pipes[c].q < 0 {
			with(e.outs[c])
		}
	}
	for _, l := range e.into[i] {
		with(e.loops[l].inbox)
	}
	if p := &e.pipes[i]; !towards && p.q > 0 {
		with(e.outs[i])
	}
	e.mixed[0] = sum
	return sum
}

// drawCold gives the cold draws at the end of a pipe what ran there.
func (e *engine) drawCold(i int32) {
	series := e.gather(i, false)
	all := volume(series)
	for _, d := range e.taps[i] {
		e.work++
		dt := e.now - d.fed
		d.fed = e.now
		if dt <= 0 || all <= 0 {
			continue
		}
		for _, s := range series {
			e.takeCold(d, s.v*(d.q*dt/all), s.T)
		}
	}
}
