package lamp

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// bits lists every number of a lamp, bit by bit, so that 0 and -0 differ.
func bits(l *Lamp) []uint64 {
	var out []uint64
	add := func(points ...Point) {
		for _, p := range points {
			out = append(out, math.Float64bits(p.X), math.Float64bits(p.Y))
		}
	}
	add(l.Place.At)
	add(l.Outline...)
	add(l.positions(nil)...)
	for _, p := range l.Paths {
		add(p.Points...)
	}
	return out
}

func TestOppositeTwiceIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLamp("tail-lh").Draw(t, "lamp")
		if rapid.Bool().Draw(t, "zeros") {
			l.LEDs[0].At = Point{0, 0}
			l.Paths[0].Points[0] = Point{math.Copysign(0, -1), 0}
		}
		o := l.Opposite("tail-rh")
		if o.Name != "tail-rh" || o.Place.Side != l.Place.Side.Opposite() || o.Place.At.X != -l.Place.At.X {
			t.Fatalf("name, side or place: %+v", o.Place)
		}
		again := o.Opposite("tail-lh")
		if !slices.Equal(bits(again), bits(l)) {
			t.Fatalf("bits differ:\n%v\n%v", bits(again), bits(l))
		}
		if again.Place.Side != l.Place.Side || again.Name != l.Name {
			t.Fatal("side or name differ")
		}
		for i := range l.LEDs {
			if o.LEDs[i].ID != l.LEDs[i].ID || o.LEDs[i].Group != l.LEDs[i].Group || o.LEDs[i].At.X != -l.LEDs[i].At.X || o.LEDs[i].At.Y != l.LEDs[i].At.Y {
				t.Fatalf("LED %d: %+v is not the reflection of %+v", i, o.LEDs[i], l.LEDs[i])
			}
		}
	})
}

func TestOppositeOfZero(t *testing.T) {
	l := &Lamp{Outline: []Point{{0, 0}}, LEDs: []LED{{}}, Paths: []Path{{Points: []Point{{0, 5}}}}}
	o := l.Opposite("o")
	for _, p := range []Point{o.Place.At, o.Outline[0], o.LEDs[0].At, o.Paths[0].Points[0]} {
		if math.Signbit(p.X) {
			t.Errorf("%v has a negative zero", p)
		}
	}
}

func TestOppositeSharesNothing(t *testing.T) {
	l := tail(t)
	before := bits(l)
	o := l.Opposite("tail-rh")
	o.Outline[0].X, o.LEDs[0].At.Y, o.Paths[0].Points[0].X = 1, 2, 3
	o.Groups[0].LEDs[0], o.Zones[0].Groups[0] = 70, 9
	if !slices.Equal(bits(l), before) || l.Groups[0].LEDs[0] != 0 || l.Zones[0].Groups[0] != 0 {
		t.Error("a change of the opposite hand changed the lamp")
	}
}

func TestFrame(t *testing.T) {
	rear := tail(t)
	front := tail(t)
	front.Place.End = Front
	bare := tail(t)
	bare.Outline = nil // LEDs span x 6..174, y 12..310
	tests := []struct {
		name    string
		lamp    *Lamp
		in, out Point
	}{
		{"rear: x runs with the vehicle", rear, Point{0, 0}, Point{-810, 740}},
		{"rear: the face's centre sits at the place", rear, Point{90, 160}, Point{-720, 900}},
		{"rear opposite", rear.Opposite("rh"), Point{0, 0}, Point{810, 740}},
		{"front: x runs against the vehicle", front, Point{0, 0}, Point{-630, 740}},
		{"front opposite", front.Opposite("rh"), Point{0, 0}, Point{630, 740}},
		{"without outline the LEDs' box counts", bare, Point{90, 161}, Point{-720, 900}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := test.lamp.Vehicle(test.in); got != test.out {
				t.Errorf("Vehicle(%v) = %v, want %v", test.in, got, test.out)
			}
			if got := test.lamp.VehicleX(test.in); got != test.out.X {
				t.Errorf("VehicleX(%v) = %v, want %v", test.in, got, test.out.X)
			}
			if got := test.lamp.Frame().Local(test.out); got != test.in {
				t.Errorf("Local(%v) = %v, want %v", test.out, got, test.in)
			}
		})
	}
}
