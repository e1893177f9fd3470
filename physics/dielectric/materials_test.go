package dielectric

import "testing"

func TestMaterials(t *testing.T) {
	seen := map[string]bool{}
	for i, m := range Materials() {
		if (m.Name == "air") != (i == 0) || (m.RelativePermittivity == 1) != (i == 0) {
			t.Errorf("%+v is number %d: air comes first and alone has a permittivity of 1", m, i)
		}
		if m.RelativePermittivity < 1 || m.LossTangent < 0 || m.LossTangent > 0.2 || m.Frequency < 1e5 || m.Source == "" || seen[m.Name] {
			t.Errorf("%+v cannot be", m)
		}
		if m.Status != "exact" && m.Status != "seen" && m.Status != "from memory" {
			t.Errorf("%s has the status %q", m.Name, m.Status)
		}
		seen[m.Name] = true
	}
	for _, name := range []string{"cardboard", "wood", "pvc", "acrylic", "polypropylene", "polycarbonate", "polystyrene", "glass"} {
		if !seen[name] {
			t.Errorf("%s is missing", name)
		}
	}
}
