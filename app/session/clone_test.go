package session

import (
	"reflect"
	"testing"

	"coilwright/physics/design"
)

// fill sets every field of v, with one element in every slice and map.
func fill(v reflect.Value, depth int) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), depth)
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), depth)
	case reflect.Slice:
		if depth > 1 { // a design holds designs
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), depth+1)
	case reflect.Map:
		e := reflect.New(v.Type().Elem()).Elem()
		fill(e, depth)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(reflect.ValueOf("key"), e)
	case reflect.String:
		v.SetString("text")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(7)
	case reflect.Float64:
		v.SetFloat(7)
	default:
		panic("a kind of field that clone_test does not know: " + v.Kind().String())
	}
}

// addresses collects every piece of memory that v points to.
func addresses(v reflect.Value, into map[uintptr]bool) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			addresses(v.Field(i), into)
		}
	case reflect.Pointer, reflect.Map:
		if !v.IsNil() {
			into[v.Pointer()] = true
		}
	case reflect.Slice:
		if v.Len() > 0 {
			into[v.Pointer()] = true
		}
		for i := range v.Len() {
			addresses(v.Index(i), into)
		}
	}
}

func TestCloneIsEqualAndShareNothing(t *testing.T) {
	var d design.Design
	fill(reflect.ValueOf(&d).Elem(), 0)
	c := clone(d)
	if !reflect.DeepEqual(c, d) {
		t.Errorf("clone = %+v, want %+v", c, d)
	}
	of, in := map[uintptr]bool{}, map[uintptr]bool{}
	addresses(reflect.ValueOf(d), of)
	addresses(reflect.ValueOf(c), in)
	if len(of) < 10 {
		t.Fatalf("the filled design holds %d pieces of memory; the walk is broken", len(of))
	}
	for a := range in {
		if of[a] {
			t.Errorf("the clone shares memory at %#x", a)
		}
	}
}

func TestDesignCannotBeChangedFromOutside(t *testing.T) {
	s := quiet(t)
	limit := 1.0
	s.Edit("tolerance", func(d *design.Design) { d.Tolerances.BaseHeight = &limit })
	*s.Design().Tolerances.BaseHeight = 2
	if got := *s.Design().Tolerances.BaseHeight; got != 1 {
		t.Errorf("tolerance = %g after changing a copy, want 1", got)
	}
	s.Edit("tolerance", func(d *design.Design) { *d.Tolerances.BaseHeight = 3 })
	s.Undo()
	if got := *s.Design().Tolerances.BaseHeight; got != 1 {
		t.Errorf("tolerance = %g after undo, want 1", got)
	}
}

func BenchmarkClone(b *testing.B) {
	var d design.Design
	fill(reflect.ValueOf(&d).Elem(), 1)
	b.ReportAllocs()
	for b.Loop() {
		clone(d)
	}
}
