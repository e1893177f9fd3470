package design

import (
	"crypto/sha256"
	"encoding/hex"
)

// Fingerprint returns a short, stable sign of the coil that d describes, for
// the foot of a printed page: eight hexadecimal digits. Everything that can
// change a result goes into it, and nothing else: two designs that differ in
// name, notes, target, variants or measurements only have the same. It is empty
// for a design that cannot be written.
func Fingerprint(d Design) string {
	d.Name, d.Notes, d.TargetFrequency, d.Variants, d.Measurements = "", "", 0, nil, nil
	content, err := encode(d)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:4])
}
