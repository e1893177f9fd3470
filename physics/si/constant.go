package si

// Physical constants.
//
// Source: CODATA recommended values 2018 (Tiesinga, Mohr, Newell and Taylor,
// Reviews of Modern Physics 93, 025010, 2021). The speed of light is exact; the
// other two are known to 1.5 parts in 10¹⁰, and Mu0·Epsilon0·SpeedOfLight² is
// 1 to the digits given.
const (
	Mu0          = 1.25663706212e-6 // H/m, magnetic constant
	Epsilon0     = 8.8541878128e-12 // F/m, electric constant
	SpeedOfLight = 299792458.0      // m/s
)
