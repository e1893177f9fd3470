package topload

// Nut is a hexagon nut used as the hub of a wire ring, with the limits its
// standard sets.
type Nut struct {
	Name       string  // as it is bought
	FlatsMin   float64 // m, across the flats
	FlatsMax   float64 // m
	CornersMin float64 // m, across the corners
	CornersMax float64 // m
	ThickMin   float64 // m
	ThickMax   float64 // m
	Source     string
	Status     string // how sure the row is: "source seen" or "from memory"
}

// Names of the two ways a ring sits on a nut.
const (
	PressedBetweenFlats = "pressed between the flats"
	RestingOnCorners    = "resting on the corners"
)

// HubBetweenFlats returns the hub diameter in m of a ring pressed between the
// flats: the middle of the standard's limits.
func (n Nut) HubBetweenFlats() float64 { return (n.FlatsMin + n.FlatsMax) / 2 }

// HubOnCorners returns the hub diameter in m of a ring resting on the corners:
// the middle of the standard's limits.
func (n Nut) HubOnCorners() float64 { return (n.CornersMin + n.CornersMax) / 2 }

const (
	asmeNuts = "ASME B18.2.2 hex machine screw nuts, limits as tabulated at mail.torqbolt.com/asme-b18-2-2-hex-machine-screw-nuts and fastenertechnology.com"
	asmeHex  = "ASME B18.2.2 hex nuts"
	isoNuts  = "ISO 4032, limits as tabulated at trojansf.co.uk/standards/iso-4032 and engineersedge.com (BS EN ISO 4032:2001); largest corners = 2/sqrt(3) of the largest flats"

	statusSeen   = "source seen"
	statusMemory = "from memory"
)

// Nuts returns the nuts usually at hand, smallest first within each standard.
func Nuts() []Nut {
	const mm = 1e-3
	return []Nut{
		{"#4-40", 6.121 * mm, 6.350 * mm, 6.985 * mm, 7.341 * mm, 2.210 * mm, 2.489 * mm, asmeNuts, statusSeen},
		{"#5-40", 7.671 * mm, 7.925 * mm, 8.738 * mm, 9.169 * mm, 2.591 * mm, 2.896 * mm, asmeNuts, statusSeen},
		{"#6-32", 7.671 * mm, 7.925 * mm, 8.738 * mm, 9.169 * mm, 2.591 * mm, 2.896 * mm, asmeNuts, statusSeen},
		{"#8-32", 8.433 * mm, 8.738 * mm, 9.601 * mm, 10.084 * mm, 2.972 * mm, 3.302 * mm, asmeNuts, statusSeen},
		{"#10-32", 9.195 * mm, 9.525 * mm, 10.490 * mm, 10.998 * mm, 2.972 * mm, 3.302 * mm, asmeNuts, statusSeen},
		{"1/4-20 machine screw", 10.744 * mm, 11.125 * mm, 12.243 * mm, 12.827 * mm, 4.521 * mm, 4.902 * mm, asmeNuts, statusSeen},
		{"1/4-20 regular", 10.87 * mm, 11.11 * mm, 12.40 * mm, 12.83 * mm, 5.38 * mm, 5.74 * mm, asmeHex, statusMemory},
		{"M3", 5.32 * mm, 5.50 * mm, 6.01 * mm, 6.35 * mm, 2.15 * mm, 2.40 * mm, isoNuts, statusSeen},
		{"M4", 6.78 * mm, 7.00 * mm, 7.66 * mm, 8.08 * mm, 2.90 * mm, 3.20 * mm, isoNuts, statusSeen},
		{"M5", 7.78 * mm, 8.00 * mm, 8.79 * mm, 9.24 * mm, 4.40 * mm, 4.70 * mm, isoNuts, statusSeen},
		{"M6", 9.78 * mm, 10.00 * mm, 11.05 * mm, 11.55 * mm, 4.90 * mm, 5.20 * mm, isoNuts, statusSeen},
	}
}
