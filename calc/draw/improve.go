package draw

import "slices"

// The rounds of improvement end by themselves, as each lessens one sum; the limit
// is for what cannot be foreseen.
const maxRounds = 50

// improve moves draws and exchanges pairs as long as that brings the volumes
// nearer to the shares.
func (d *deal) improve() {
	for range maxRounds {
		better := false
		for i := range d.draws {
			better = d.move(i) || better
		}
		for i := range d.draws {
			for j := range i {
				better = d.exchange(i, j) || better
			}
		}
		if !better {
			return
		}
	}
}

// gain is by how much the sum of squares falls if a volume goes from one
// fixture to another.
func (d *deal) gain(volume float64, from, to int) float64 {
	return 2 * volume * (d.over[from] - d.over[to] - volume)
}

// move gives a draw to the fixture where it helps most.
func (d *deal) move(i int) bool {
	from, best, most := d.at[i], 0, d.least
	for _, to := range d.may[i] {
		if g := d.gain(d.volume(i), from, to); to != from && g > most {
			best, most = to, g
		}
	}
	if most == d.least {
		return false
	}
	d.shift(i, best)
	return true
}

// exchange swaps the fixtures of two draws if that helps.
func (d *deal) exchange(i, j int) bool {
	a, b := d.at[i], d.at[j]
	if a == b || d.gain(d.volume(i)-d.volume(j), a, b) <= d.least {
		return false
	}
	if !slices.Contains(d.may[i], b) || !slices.Contains(d.may[j], a) {
		return false
	}
	d.shift(i, b)
	d.shift(j, a)
	return true
}

func (d *deal) shift(i, to int) {
	d.over[d.at[i]] -= d.volume(i)
	d.over[to] += d.volume(i)
	d.at[i] = to
}
