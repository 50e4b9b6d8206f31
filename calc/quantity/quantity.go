package quantity

// The types. Each wraps one float64 in SI, so that a bare 25 does not pass for
// metres and the product of two lengths is not a length.
type (
	// Length is a distance, a diameter or a thickness, in m.
	Length struct{ m float64 }
	// Volume is in m3.
	Volume struct{ m3 float64 }
	// VolumePerLength is the content of a tube, in m3/m.
	VolumePerLength struct{ m2 float64 }
	// Flow is a volume flow, in m3/s.
	Flow struct{ m3s float64 }
	// Duration is a time span, in s.
	Duration struct{ s float64 }
	// Velocity is in m/s.
	Velocity struct{ ms float64 }
	// Temperature is a level, in K. A difference is a [TemperatureDifference].
	Temperature struct{ k float64 }
	// TemperatureDifference is in K.
	TemperatureDifference struct{ k float64 }
	// Conductivity is in W/(m.K).
	Conductivity struct{ wmk float64 }
	// SurfaceCoefficient is a heat transfer coefficient, in W/(m2.K).
	SurfaceCoefficient struct{ wm2k float64 }
	// HeatFlow is in W.
	HeatFlow struct{ w float64 }
	// Energy is in J.
	Energy struct{ j float64 }
	// LinearHeatLoss is in W/m.
	LinearHeatLoss struct{ wm float64 }
	// Pressure is a pressure or a pressure drop, in Pa.
	Pressure struct{ pa float64 }
	// PressureGradient is a pressure drop by length, in Pa/m.
	PressureGradient struct{ pam float64 }
	// Power is mechanical or electrical, in W.
	Power struct{ w float64 }
	// Mass is in kg.
	Mass struct{ kg float64 }
	// EmissionFactor is the mass of carbon dioxide for an energy, in kg/J.
	EmissionFactor struct{ kgj float64 }
	// FlowCoefficient is what a valve passes, in m3/s at 1 Pa.
	FlowCoefficient struct{ si float64 }
)

func Metres(m float64) Length                                { return Length{m} }
func Millimetres(mm float64) Length                          { return Length{mm / 1000} }
func CubicMetres(m3 float64) Volume                          { return Volume{m3} }
func CubicMetresPerMetre(m2 float64) VolumePerLength         { return VolumePerLength{m2} }
func CubicMetresPerSecond(m3s float64) Flow                  { return Flow{m3s} }
func Seconds(s float64) Duration                             { return Duration{s} }
func MetresPerSecond(ms float64) Velocity                    { return Velocity{ms} }
func Kelvin(k float64) Temperature                           { return Temperature{k} }
func Celsius(c float64) Temperature                          { return Temperature{c + zeroCelsius} }
func KelvinDifference(k float64) TemperatureDifference       { return TemperatureDifference{k} }
func WattsPerMetreKelvin(v float64) Conductivity             { return Conductivity{v} }
func WattsPerSquareMetreKelvin(v float64) SurfaceCoefficient { return SurfaceCoefficient{v} }
func Watts(w float64) HeatFlow                               { return HeatFlow{w} }
func Joules(j float64) Energy                                { return Energy{j} }
func WattsPerMetre(v float64) LinearHeatLoss                 { return LinearHeatLoss{v} }
func Pascals(v float64) Pressure                             { return Pressure{v} }
func PascalsPerMetre(v float64) PressureGradient             { return PressureGradient{v} }
func PowerWatts(v float64) Power                             { return Power{v} }
func Kilograms(v float64) Mass                               { return Mass{v} }
func KilogramsPerJoule(v float64) EmissionFactor             { return EmissionFactor{v} }
func FlowCoefficientSI(v float64) FlowCoefficient            { return FlowCoefficient{v} }

func (l Length) Metres() float64                                { return l.m }
func (v Volume) CubicMetres() float64                           { return v.m3 }
func (v VolumePerLength) CubicMetresPerMetre() float64          { return v.m2 }
func (q Flow) CubicMetresPerSecond() float64                    { return q.m3s }
func (t Duration) Seconds() float64                             { return t.s }
func (v Velocity) MetresPerSecond() float64                     { return v.ms }
func (t Temperature) Kelvin() float64                           { return t.k }
func (t Temperature) Celsius() float64                          { return t.k - zeroCelsius }
func (d TemperatureDifference) Kelvin() float64                 { return d.k }
func (c Conductivity) WattsPerMetreKelvin() float64             { return c.wmk }
func (c SurfaceCoefficient) WattsPerSquareMetreKelvin() float64 { return c.wm2k }
func (q HeatFlow) Watts() float64                               { return q.w }
func (e Energy) Joules() float64                                { return e.j }
func (q LinearHeatLoss) WattsPerMetre() float64                 { return q.wm }
func (p Pressure) Pascals() float64                             { return p.pa }
func (g PressureGradient) PascalsPerMetre() float64             { return g.pam }
func (p Power) Watts() float64                                  { return p.w }
func (m Mass) Kilograms() float64                               { return m.kg }
func (f EmissionFactor) KilogramsPerJoule() float64             { return f.kgj }
func (k FlowCoefficient) SI() float64                           { return k.si }
