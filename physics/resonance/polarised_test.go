package resonance

import (
	"math"
	"testing"
)

// wallOf is the thickness of the tube that these tests look at, m.
const wallOf = 0.003

// onThick returns the coil with the torus on a tube or, with wall 0, a rod.
func onThick(t testing.TB, turns int, wall, permittivity float64) *Coil {
	c := onFormer(*torusCoil(t, turns), wall, permittivity)
	return &c
}

// TestPolarisedFieldOfAir: a former of nearly air changes the field by nearly nothing,
// and one of air by nothing at all.
func TestPolarisedFieldOfAir(t *testing.T) {
	_, bare := fieldOf(t, torusCoil(t, 300))
	m, air := fieldOf(t, onThick(t, 300, wallOf, 1))
	if m.Polarised != nil {
		t.Error("air is polarised")
	}
	_, thin := fieldOf(t, onThick(t, 300, wallOf, 1.0001))
	for _, r := range []float64{0, 0.006, 0.0113, 0.02, 0.1} {
		for z := 0.005; z < 0.12; z += 0.011 {
			want := bare.Potential(r, z)
			if got := air.Potential(r, z); got != want {
				t.Errorf("on a tube of air the potential at (%g, %g) is %g V, without it %g V", r, z, got, want)
			}
			if got := thin.Potential(r, z); math.Abs(got-want) > 1e-4 {
				t.Errorf("at permittivity 1.0001 the potential at (%g, %g) is %g V, in air %g V", r, z, got, want)
			}
		}
	}
}

// TestPolarisedChargeAddsToNothing: lines of force that enter a body that stands free
// leave it, whatever the permittivity.
func TestPolarisedChargeAddsToNothing(t *testing.T) {
	for _, wall := range []float64{wallOf, 0} {
		m, f := fieldOf(t, onThick(t, 300, wall, 5))
		gross := 0.0
		for _, q := range f.former.rings.Charge {
			gross += math.Abs(q)
		}
		if total := m.Polarised.Total(); math.Abs(total) > 1e-9*gross {
			t.Errorf("wall %g m: bound charge adds to %g C of %g C", wall, total, gross)
		}
		sum := f.former.rings.Total()
		for _, b := range f.bodies {
			if b.Of == OfFormer {
				sum += b.Total()
			}
		}
		if math.Abs(sum) > 1e-9*gross {
			t.Errorf("wall %g m: the rings add to %g C of %g C", wall, sum, gross)
		}
	}
}

// TestPolarisedFieldAtTheSurface: across a surface of the former the field along it goes
// on, and so does ε times the field across it, to a part of the mean field along the
// winding that panels of the usual size miss; on finer ones by a tenth of that. The inner
// surface lies a wall away from the turns, the outer one is looked at where the tube
// sticks out of the winding. Fields are carried straight to the surface from where rings
// are as good as a sheet.
func TestPolarisedFieldAtTheSurface(t *testing.T) {
	const permittivity, missed = 4, 0.02
	worst := func(panels float64) (across, along float64) {
		c := onThick(t, 300, wallOf, permittivity)
		s := Solver{Spacing: panels}
		m := solve(t, &s, *c)
		f, err := NewField(c, m)
		if err != nil {
			t.Fatal(err)
		}
		for i := range f.winding.rings.Charge { // it answers the charge of the turns, not their dipoles
			if i%ringsOfTurn >= 2 {
				f.winding.rings.Charge[i] = 0
			}
		}
		f.winding.gather(ringsOfTurn)
		const spacing = 0.0001 // m
		f.former, _ = formerCloud(c, m, spacing)
		off := 1.5 * spacing
		w := c.Winding
		mean := 1 / (w.Top() - w.Base) // V/m per volt
		for _, at := range []struct {
			radius, height float64
			outward        float64 // which way the air is
		}{
			{c.Former.Inner, w.Top() - 0.004, -1}, {c.Former.Inner, w.Top() - 0.02, -1}, {c.Former.Inner, w.Base + 0.02, -1},
			{c.Former.Outer, w.Top() + 0.005, 1}, {c.Former.Outer, w.Top() + 0.007, 1},
		} {
			carried := func(side float64) (across, up float64) {
				_, a, au := f.At(at.radius+side*off, at.height)
				_, b, bu := f.At(at.radius+2*side*off, at.height)
				return 2*a - b, 2*au - bu
			}
			inAir, upInAir := carried(at.outward)
			inWall, upInWall := carried(-at.outward)
			across = math.Max(across, math.Abs(inAir-permittivity*inWall)/mean)
			along = math.Max(along, math.Abs(upInAir-upInWall)/mean)
		}
		return across, along
	}
	across, along := worst(1)
	fineAcross, fineAlong := worst(0.3)
	t.Logf("across off by %.2g, along by %.2g of the mean field; on fine panels %.2g and %.2g", across, along, fineAcross, fineAlong)
	if across > missed || along > missed {
		t.Errorf("off by %.2g across and %.2g along, of the mean field along the winding", across, along)
	}
	if fineAcross > missed/10 || fineAlong > missed/10 {
		t.Errorf("on fine panels off by %.2g across and %.2g along", fineAcross, fineAlong)
	}
}

// TestPolarisedFieldHasTheVoltages: inside the bore potentials are about those of the
// turns round it, for which the coil with its former was solved. Without the bound
// charge they are not.
func TestPolarisedFieldHasTheVoltages(t *testing.T) {
	for _, permittivity := range []float64{3, 5} {
		c := onThick(t, 300, wallOf, permittivity)
		m, f := fieldOf(t, c)
		worst, without := 0.0, 0.0
		for _, turn := range []int{40, 150, 260} {
			z := c.Winding.Base + float64(turn)*c.Winding.Pitch
			want := curveAt(m.Profile.Height, m.Profile.Voltage, z)
			worst = math.Max(worst, math.Abs(f.Potential(c.Former.Inner-0.001, z)-want))
			without = math.Max(without, math.Abs(f.Without(OfFormer).Potential(c.Former.Inner-0.001, z)-want))
		}
		t.Logf("permittivity %g: within %.2g V, without bound charge %.2g V", permittivity, worst, without)
		if worst > 0.01 {
			t.Errorf("permittivity %g: potentials in the bore are off by %.2g V from those of the turns", permittivity, worst)
		}
		if without < 2*worst {
			t.Errorf("permittivity %g: without bound charge they are off by %.2g V, with it by %.2g V", permittivity, without, worst)
		}
	}
}

// TestPolarisedClustersMeetTheSum compares with every ring by itself, near the tube on
// both sides and in its wall.
func TestPolarisedClustersMeetTheSum(t *testing.T) {
	for _, wall := range []float64{wallOf, 0} {
		c := onThick(t, 450, wall, 5)
		_, f := fieldOf(t, c)
		exact := f.Exact()
		mean := 1 / (c.Winding.Top() - c.Winding.Base) // V/m per volt
		for _, r := range []float64{0, 0.004, 0.0085, 0.0105, 0.0118, c.Winding.Radius + 3*c.Winding.WireRadius, 0.016, 0.05} {
			for z := 0.003; z < 0.16; z += 0.0041 {
				if math.Hypot(r-0.022, z-c.TopHeight) < 0.010 {
					continue
				}
				got, er, ez := f.At(r, z)
				want, xr, xz := exact.At(r, z)
				if math.Abs(got-want) > 1e-3 {
					t.Errorf("wall %g m: potential at (%g, %g) %.6g V, every ring by itself %.6g V", wall, r, z, got, want)
				}
				if off := math.Hypot(er-xr, ez-xz) / (exact.Without(OfFormer).Strength(r, z) + mean); off > 0.02 {
					t.Errorf("wall %g m: field at (%g, %g) is off by %.2g of that of the free charges and the mean along the winding", wall, r, z, off)
				}
			}
		}
	}
}
