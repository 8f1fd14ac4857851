package job

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestOutputsOf(t *testing.T) {
	for _, c := range []struct {
		numbers []int
		text    string
		value   string
	}{
		{[]int{1, 2, 3}, "1..3", "1..3"}, {[]int{3, 2, 1}, "3..1", "3..1"}, {[]int{7}, "7", "7"}, {[]int{2, 1, 3, 4}, "2..1, 3..4", "[2..1 3..4]"},
		{[]int{19, 20, 13, 14, 1}, "19..20, 13..14, 1", "[19..20 13..14 1]"}, {nil, "", "[]"}, {[]int{1, 3, 5}, "1, 3, 5", "[1 3 5]"}, {[]int{1, 2, 1}, "1..2, 1", "[1..2 1]"},
		{[]int{0, 2, 1, 0, 0, 1}, "none, 2..1, none, none, 1", "[none 2..1 none none 1]"}, {[]int{0}, "none", "none"},
	} {
		if got := OutputsOf(c.numbers).String(); got != c.text {
			t.Errorf("%v: %s, want %s", c.numbers, got, c.text)
		}
		if got := fmt.Sprint(OutputsValue(c.numbers)); got != c.value {
			t.Errorf("%v: value %s, want %s", c.numbers, got, c.value)
		}
	}
}

func TestOutputsOfKeepTheirNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		numbers := rapid.SliceOfN(rapid.IntRange(0, 64), 1, 40).Draw(t, "numbers")
		if got := OutputsOf(numbers).Numbers(); !slices.Equal(got, numbers) {
			t.Fatalf("%v became %v", numbers, got)
		}
	})
}
