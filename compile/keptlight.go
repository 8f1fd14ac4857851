package compile

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"reflect"

	"lampwright/kit"
)

// keptLight is what was fitted of a routine that is the same to the last bit: nothing of it needs be sampled again.
type keptLight struct {
	tracks []*track // for each group of the stage, nil where none has asked
	run    int      // that used it last
}

// lightKey names all that the light of a stage's groups depends on, by content: the routine with all that it calls, the places of its
// LEDs along each stroke, which LEDs are a group, the instants, and how it is fitted.
func (s *sampler) lightKey(bound *kit.Bound, when timing) string {
	var all bytes.Buffer
	spell(&all, reflect.ValueOf(bound.Light))
	spell(&all, reflect.ValueOf(bound.Stage.Groups()))
	spell(&all, reflect.ValueOf(when))
	all.WriteString(s.fit.keyOf(fmt.Sprint(bound.Stage.Len())))
	sum := sha256.Sum256(all.Bytes())
	return string(sum[:])
}

// spell writes a value of plain data, whatever its fields are, so that two spell alike only if they are alike. Pointers are followed;
// what is no plain data is a slip of the code.
func spell(to *bytes.Buffer, v reflect.Value) {
	number := func(n uint64) { to.Write(binary.BigEndian.AppendUint64(nil, n)) }
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			to.WriteByte(0)
			return
		}
		to.WriteByte(1)
		spell(to, v.Elem())
	case reflect.Struct:
		for i := range v.NumField() {
			spell(to, v.Field(i))
		}
	case reflect.Slice:
		if v.IsNil() {
			to.WriteByte(0)
			return
		}
		to.WriteByte(1)
		number(uint64(v.Len()))
		for i := range v.Len() {
			spell(to, v.Index(i))
		}
	case reflect.String:
		number(uint64(v.Len()))
		to.WriteString(v.String())
	case reflect.Bool:
		to.WriteByte(map[bool]byte{true: 1}[v.Bool()])
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		number(uint64(v.Int()))
	case reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uint:
		number(v.Uint())
	case reflect.Float64:
		number(math.Float64bits(v.Float()))
	default:
		panic("cannot spell a " + v.Type().String())
	}
}

// light gives what an earlier compilation fitted of a routine, or begins to keep it; nil when nothing is kept.
func (k *Fits) light(key string, rows int) *keptLight {
	one := k.lights[key]
	if one == nil {
		one = &keptLight{tracks: make([]*track, rows)}
		k.lights[key] = one
	}
	one.run = k.run
	return one
}
