package quantity

// The defining values. Go evaluates constant expressions exactly, so each
// factor below is rounded once, when it becomes a float64.
//
// Source: international yard and pound agreement (inch, pound), US gallon 231
// in3, imperial gallon 4.54609 L, International Table Btu, standard gravity
// 9.80665 m/s2, US therm 1.054804e8 J; as used by NIST SP 811.
const (
	inch           = 0.0254
	foot           = 12 * inch
	pound          = 0.45359237
	gravity        = 9.80665
	gallon         = 231 * inch * inch * inch
	fluidOunce     = gallon / 128
	imperialGallon = 0.00454609
	litre          = 0.001
	minute         = 60
	hour           = 3600
	day            = 86400
	btu            = 1055.05585262
	therm          = 1.054804e8
	degreeF        = 5.0 / 9 // a temperature difference
	zeroCelsius    = 273.15
	psi            = pound * gravity / (inch * inch)
	kvPascal       = 1e5 // Kv is defined at 1 bar
)

// StandardGravity is g = 9.80665 m/s2 (3rd CGPM, 1901).
const StandardGravity = gravity

func unit(symbol string, factor float64) Unit { return Unit{Symbol: symbol, Factor: factor} }

// dimension lists its units SI first; si and us name those that answers use.
func dimension(name, si, us string, units ...Unit) *Dimension {
	d := &Dimension{Name: name, Units: units}
	d.SI, _ = d.Unit(si)
	d.US, _ = d.Unit(us)
	return d
}

// The dimensions, with every unit that a request may use.
var (
	LengthDimension = dimension("Length", "m", "ft",
		unit("m", 1), unit("cm", 0.01), unit("mm", 0.001), unit("km", 1000), unit("in", inch), unit("ft", foot))

	// DiameterDimension is a length too; answers give a bore in mm or in.
	DiameterDimension = dimension("Length", "mm", "in", LengthDimension.Units...)

	AreaDimension = dimension("Area", "m2", "in2",
		unit("m2", 1), unit("mm2", 1e-6), unit("in2", inch*inch), unit("ft2", foot*foot))

	VolumeDimension = dimension("Volume", "L", "gal",
		unit("m3", 1), unit("L", litre), unit("mL", litre/1000), unit("gal", gallon), unit("fl_oz", fluidOunce),
		unit("gal_imp", imperialGallon), unit("in3", inch*inch*inch), unit("ft3", foot*foot*foot))

	VolumePerLengthDimension = dimension("VolumePerLength", "L/m", "fl_oz/ft",
		unit("m3/m", 1), unit("L/m", litre), unit("mL/m", litre/1000), unit("gal/ft", gallon/foot), unit("fl_oz/ft", fluidOunce/foot))

	FlowDimension = dimension("Flow", "L/min", "gal/min",
		unit("m3/s", 1), unit("m3/h", 1.0/hour), unit("L/s", litre), unit("L/min", litre/minute), unit("L/h", litre/hour),
		unit("gal/min", gallon/minute), unit("gal/h", gallon/hour), unit("gal_imp/min", imperialGallon/minute))

	VelocityDimension = dimension("Velocity", "m/s", "ft/s", unit("m/s", 1), unit("ft/s", foot), unit("ft/min", foot/minute))

	DurationDimension = dimension("Duration", "s", "s", unit("s", 1), unit("min", minute), unit("h", hour), unit("d", day))

	TemperatureDimension = dimension("Temperature", "degC", "degF",
		Unit{Symbol: "K", Factor: 1}, Unit{Symbol: "degC", Factor: 1, Offset: zeroCelsius},
		Unit{Symbol: "degF", Factor: degreeF, Offset: zeroCelsius - 32*degreeF})

	TemperatureDifferenceDimension = dimension("TemperatureDifference", "K", "degF",
		unit("K", 1), unit("degC", 1), unit("degF", degreeF))

	ConductivityDimension = dimension("Conductivity", "W/(m.K)", "Btu.in/(h.ft2.degF)",
		unit("W/(m.K)", 1), unit("Btu/(h.ft.degF)", btu/(hour*foot*degreeF)),
		unit("Btu.in/(h.ft2.degF)", btu*inch/(hour*foot*foot*degreeF)))

	SurfaceCoefficientDimension = dimension("SurfaceCoefficient", "W/(m2.K)", "Btu/(h.ft2.degF)",
		unit("W/(m2.K)", 1), unit("Btu/(h.ft2.degF)", btu/(hour*foot*foot*degreeF)))

	ThermalResistanceDimension = dimension("ThermalResistance", "m2.K/W", "h.ft2.degF/Btu",
		unit("m2.K/W", 1), unit("h.ft2.degF/Btu", hour*foot*foot*degreeF/btu))

	LinearHeatLossDimension = dimension("LinearHeatLoss", "W/m", "Btu/(h.ft)",
		unit("W/m", 1), unit("W/ft", 1/foot), unit("Btu/(h.ft)", btu/(hour*foot)))

	LinearTransmittanceDimension = dimension("LinearTransmittance", "W/(m.K)", "Btu/(h.ft.degF)",
		unit("W/(m.K)", 1), unit("Btu/(h.ft.degF)", btu/(hour*foot*degreeF)))

	LinearResistanceDimension = dimension("LinearResistance", "m.K/W", "h.ft.degF/Btu",
		unit("m.K/W", 1), unit("h.ft.degF/Btu", hour*foot*degreeF/btu))

	HeatFlowDimension = dimension("HeatFlow", "W", "Btu/h",
		unit("W", 1), unit("kW", 1000), unit("Btu/h", btu/hour), unit("kBtu/h", 1000*btu/hour))

	EnergyDimension = dimension("Energy", "kWh", "Btu",
		unit("J", 1), unit("kJ", 1000), unit("MJ", 1e6), unit("kWh", 3.6e6), unit("MWh", 3.6e9), unit("Btu", btu), unit("therm", therm))

	PressureDimension = dimension("Pressure", "kPa", "psi",
		unit("Pa", 1), unit("kPa", 1000), unit("mbar", 100), unit("bar", 1e5), unit("psi", psi))

	PressureGradientDimension = dimension("PressureGradient", "Pa/m", "psi/(100.ft)",
		unit("Pa/m", 1), unit("kPa/m", 1000), unit("mbar/m", 100), unit("psi/ft", psi/foot), unit("psi/(100.ft)", psi/(100*foot)))

	PowerDimension = dimension("Power", "W", "W", unit("W", 1), unit("kW", 1000), unit("hp", 550*foot*pound*gravity))

	MassDimension = dimension("Mass", "kg", "lb", unit("kg", 1), unit("g", 0.001), unit("t", 1000), unit("lb", pound))

	// EmissionFactorDimension is mass by energy; MMBtu is a million Btu.
	EmissionFactorDimension = dimension("EmissionFactor", "kg/kWh", "lb/MWh",
		unit("kg/kWh", 1/3.6e6), unit("g/kWh", 0.001/3.6e6), unit("kg/MJ", 1e-6), unit("lb/MWh", pound/3.6e9), unit("lb/kWh", pound/3.6e6), unit("kg/MMBtu", 1/(1e6*btu)))
)

// FlowCoefficientDimension is the flow through a valve at a stated pressure
// difference: in m3/h it is Kv (at 1 bar), in gal/min it is Cv (at 1 psi). SI
// inside: m3/s at 1 Pa. The gal/min factor needs a square root, so it is not a
// constant expression; sqrtPsiPascal is sqrt(psi) to float64.
var FlowCoefficientDimension = dimension("FlowCoefficient", "m3/h", "gal/min",
	unit("m3/h", 1.0/hour/316.22776601683796 /* sqrt(1 bar in Pa) */), unit("gal/min", gallon/minute/83.03467524575719 /* sqrt(1 psi in Pa) */))
