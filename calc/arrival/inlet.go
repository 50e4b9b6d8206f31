package arrival

// inlet is the temperature that enters, as a table of straight lines, K above
// the base.
type inlet struct {
	time, temperature []float64
	next              int       // the first point after the time asked last
	jumps             []float64 // times after 0 at which the temperature jumps
}

func newInlet(f Front, base float64) inlet {
	table := f.InletTable
	if len(table) == 0 {
		table = []Point{{f.StartUpDelay, f.Inlet}}
		if f.StartUpDelay.Seconds() > 0 {
			table = []Point{{f.StartUpDelay, f.BeforeStart}, {f.StartUpDelay, f.Inlet}}
		}
	}
	in := inlet{time: make([]float64, len(table)), temperature: make([]float64, len(table))}
	for i, p := range table {
		in.time[i], in.temperature[i] = p.Time.Seconds(), p.Temperature.Kelvin()-base
	}
	for i := 1; i < len(table); i++ {
		if in.time[i] == in.time[i-1] && in.time[i] > 0 && in.temperature[i] != in.temperature[i-1] {
			in.jumps = append(in.jumps, in.time[i])
		}
	}
	return in
}

// last is the time after which nothing changes any more.
func (in *inlet) last() float64 { return in.time[len(in.time)-1] }

// final is the temperature from then on.
func (in *inlet) final() float64 { return in.temperature[len(in.temperature)-1] }

// mean is the temperature of the water that enters between two times. The
// times must not fall from one call to the next.
func (in *inlet) mean(from, to float64) float64 {
	for in.next < len(in.time) && in.time[in.next] <= from {
		in.next++
	}
	if in.next == len(in.time) {
		return in.final()
	}
	sum, t, value, i := 0.0, from, in.at(from, in.next), in.next
	for ; i < len(in.time) && in.time[i] < to; i++ {
		sum += (in.time[i] - t) * (value + in.at(in.time[i], i)) / 2
		t, value = in.time[i], in.temperature[i]
	}
	sum += (to - t) * (value + in.at(to, i)) / 2
	return sum / (to - from)
}

// at is the temperature at a time on the line that ends at point i.
func (in *inlet) at(t float64, i int) float64 {
	switch {
	case i == 0:
		return in.temperature[0]
	case i == len(in.time):
		return in.final()
	}
	width := in.time[i] - in.time[i-1]
	if width == 0 {
		return in.temperature[i-1]
	}
	share := (t - in.time[i-1]) / width
	return in.temperature[i-1] + share*(in.temperature[i]-in.temperature[i-1])
}

// constantUntil is the time up to which what enters stays as it is at t.
func (in *inlet) constantUntil(t float64) (until float64, forever bool) {
	i := in.next
	for i < len(in.time) && in.time[i] <= t {
		i++
	}
	switch {
	case i == len(in.time):
		return 0, true
	case i > 0 && in.temperature[i] != in.temperature[i-1]:
		return t, false
	}
	return in.time[i], false
}
