package design

// ClosePitch returns the pitch in m of the winding if it is wound turn against
// turn, whatever its pitch is now: overall diameter times packing. It is 0 for
// a wire that does not exist.
func (s Secondary) ClosePitch() float64 {
	c, err := lookUp(s.Wire)
	if err != nil {
		return 0
	}
	return pitchOf(0, s.Packing, c)
}
