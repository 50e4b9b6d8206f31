package quantity

// Power is mechanical or electrical, in W; heat is a [HeatFlow].
type Power struct{ w float64 }

func PowerWatts(w float64) Power { return Power{w} }

func (p Power) Watts() float64 { return p.w }
