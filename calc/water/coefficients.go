package water

// Coefficients of IAPWS SR6-08(2011), named as the release numbers them.
// Exponents of alpha: n_1..3 = 4, 5, 7; n_6..10 = 4, 5, 7, 8, 9. Exponents of
// beta: m_1..4 = 2, 3, 4, 5; m_5..10 = 1, 2, 3, 4, 5, 6. Those of viscosity and
// conductivity stand beside their exponents in the formula.
const (
	a1  = -1.661470539e5
	a2  = 2.708781640e6
	a3  = -1.557191544e8
	a5  = 1.93763157e-2
	a6  = 6.74458446e3
	a7  = -2.22521604e5
	a8  = 1.00231247e8
	a9  = -1.63552118e9
	a10 = 8.32299658e9

	b1  = -8.237426256e-1
	b2  = 1.908956353
	b3  = -2.017597384
	b4  = 8.546361348e-1
	b5  = 5.78545292e-3
	b6  = -1.53195665e-2
	b7  = 3.11337859e-2
	b8  = -4.23546241e-2
	b9  = 3.38713507e-2
	b10 = -1.19946761e-2

	c3 = -8.983025854
)
