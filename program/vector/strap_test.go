package vector_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// strapFixtures choose between the hands of an image by the side strap.
func strapFixtures(t *testing.T) []fixture {
	refused := refusalSafe()
	runs := []vector.Run{frames(4, 0), frames(12, show), frames(8, stop|turn), frames(3, 0)}
	// The safe program lights output 5 at in3, which no image does.
	safe := []want{{frame(4), frame(16) - 1, span(4, 4), 0, false}, {frame(16), frame(24) - 1, span(5, 5), 255, false}, {frame(16), 8*24 + 7, span(1, 3), 255, true}}
	left := []want{{frame(4), frame(24), span(4, 5), 0, false}, {frame(16), 8*24 + 7, span(1, 3), 255, true}}
	right := []want{{frame(9), frame(16) - 1, span(4, 4), 200, false}, {frame(16), frame(24), span(5, 5), 0, false}, {frame(16), 8*24 + 7, span(1, 3), 255, true}}
	one := base(plain...).bytes(func(b []byte) { b[3], b[14] = 8, 1 })
	swapped := bothHands(func(b []byte) { b[14], b[64+14] = 2, 1 })
	damaged := func(at int, v byte) []byte { return bothHands(func(b []byte) { b[at] = v }) }
	all := []fixture{
		{name: "strap-lh", notes: "an image for both hands, with the strap of LH: the first header rules.", image: bothHands(), strap: program.LH, want: left},
		{name: "strap-rh", notes: "an image for both hands, with the strap of RH: the second header rules, with its show.", image: bothHands(), strap: program.RH, want: right},
		{name: "strap-missing", notes: "an image for both hands without a strap: the safe program.", image: bothHands(), want: safe},
		{name: "strap-swapped", notes: "RH is the first header here: the strap of RH chooses it.", image: swapped, strap: program.RH, want: left},
		{name: "strap-right", notes: "an image for one hand that wants its strap, and finds it.", image: one, strap: program.LH, want: right},
		{name: "strap-wrong", notes: "an image for LH in the plug of RH: no other header, so the safe program.", image: one, strap: program.RH, want: safe},
		{name: "strap-lost", notes: "an image for LH in a plug whose strap is missing: the safe program.", image: one, want: safe},
		{name: "strap-not-asked", notes: "an image that wants no strap runs with any.", image: base(plain...).bytes(func(b []byte) { b[14] = 1 }), strap: program.RH, want: right},
	}
	for _, c := range []struct {
		name, notes, refusal string
		image                []byte
	}{
		{"strap-no-second", "the other header lacks the strap's bit: the safe program.", "no strap tells apart", damaged(64+3, 0)},
		{"strap-second-late", "the other header begins where it does not end before the check: the safe program.", "another hand at byte", damaged(18, byte(len(bothHands())-33))},
		{"strap-second-layers", "the other header states more layers than lie before the check: the safe program.", "layers in an image of", damaged(64+7, 4)},
	} {
		all = append(all, fixture{name: c.name, notes: c.notes, refusal: c.refusal, image: c.image, strap: program.RH, want: safe})
	}
	for i := range all {
		all[i].safe, all[i].runs = refused, runs
	}
	return all
}
