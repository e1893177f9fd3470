package session

import (
	"reflect"

	"coilwright/physics/design"
)

// clone returns a copy of d that shares no memory with it. It walks the value
// by reflection, so that a field added to the design is copied without a line
// here.
func clone(d design.Design) design.Design {
	return cloneValue(reflect.ValueOf(d)).Interface().(design.Design)
}

func cloneValue(v reflect.Value) reflect.Value {
	switch v.Kind() {
	case reflect.Struct:
		c := reflect.New(v.Type()).Elem()
		for i := range v.NumField() {
			c.Field(i).Set(cloneValue(v.Field(i)))
		}
		return c
	case reflect.Pointer:
		if v.IsNil() {
			return v
		}
		c := reflect.New(v.Type().Elem())
		c.Elem().Set(cloneValue(v.Elem()))
		return c
	case reflect.Slice:
		if v.IsNil() {
			return v
		}
		c := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			c.Index(i).Set(cloneValue(v.Index(i)))
		}
		return c
	case reflect.Map:
		if v.IsNil() {
			return v
		}
		c := reflect.MakeMapWithSize(v.Type(), v.Len())
		for it := v.MapRange(); it.Next(); {
			c.SetMapIndex(it.Key(), cloneValue(it.Value()))
		}
		return c
	default:
		return v
	}
}
