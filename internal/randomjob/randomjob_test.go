package randomjob

import (
	"strings"
	"testing"

	"lampwright/car"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/script"

	"pgregory.net/rapid"
)

// Every drawn job is a document without faults, whose wires a module can read: a generator that draws broken jobs would test little.
func TestDrawnJobsResolve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, draw := range []func(*rapid.T) string{Job, Pair} {
			text := draw(t)
			k, list := kit.Parse("random.yaml", []byte(text), kit.NoFiles)
			if k == nil {
				t.Fatalf("%v\n%s", list, text)
			}
			for _, in := range k.Inputs {
				if in.FeedAt != in.At && !strings.Contains(text, in.Feed.Written()) {
					t.Fatalf("%s: its feed was read as %s\n%s", in.Name, in.Feed.Written(), text)
				}
				if _, _, list := feed.FilterFor(in.Feed, in.Road); list.HasErrors() {
					t.Fatalf("%s: %v\n%s", in.Name, list, text)
				}
			}
		}
	})
}

// What the generator means to draw, it draws often.
func TestDrawnJobsAreVaried(t *testing.T) {
	const draws = 300
	seen := map[string]int{}
	words := []string{
		"sweep:", "clear:", "pass:", "swing:", "fade-up:", "fade-down:", "beat:", "hold:", "scatter:", "call:",
		"along:", "backwards: true", "clockwise", "by: group", "from: ", "meets: brighter", "meets: dimmer",
		"with:", "without:", "colour:", "closed:", "z1.1..", "e1.", "lamp-1.z1, ", "keeps:", "repeat-window:", "limit:", "pace: flasher",
		"kind: steady", "kind: flasher", "kind: dimmed", "kind: relay", "chopped:", "test-pulse:", "every:", "leak:", "through:", "pull-down:", "bounce:",
		"guard:", "shows-above:", "halve-above:", "shows-off-at:", "halve-at:", "sleep-after:", "fuse:", "also:", "only: turn", "only: stop", "strap: true", "same-image-as:", "stream: true",
		"carries-stop: {reference: stop}", "carries-stop: {}", "shares: tail", "one-tap: true", "not-while:", "only-while:",
		"outages:", "kind: message", "kind: flash-rate", "kind: shut-off", "window:", "sense:",
		"opposite-hand-of", "active: low", "interrupted: ends", "board: pins", "board: chain-high",
	}
	whole := 0 // shows that take all they touch
	for seed := range draws {
		text := rapid.Custom(Job).Example(seed)
		for _, w := range words {
			if strings.Contains(text, w) {
				seen[w]++
			}
		}
		for _, line := range strings.Split(text, "\n") {
			if strings.HasPrefix(line, "  - show") && !strings.Contains(line, "takes:") {
				whole++
			}
		}
	}
	for _, w := range words {
		if seen[w] < draws/20 {
			t.Errorf("%q stands in %d of %d jobs", w, seen[w], draws)
		}
	}
	if whole < draws/20 {
		t.Errorf("%d shows without takes in %d jobs", whole, draws)
	}
}

func TestDrawnScriptsAreSound(t *testing.T) {
	inputs := []string{"stop", "turn-lh", "show-a"}
	rapid.Check(t, func(t *rapid.T) {
		text := Script(t, inputs, rapid.IntRange(10, 4000).Draw(t, "length ms"))
		if _, faults := script.Parse("random", []byte(text), inputs); len(faults) > 0 {
			t.Fatalf("%v\n%s", faults, text)
		}
	})
}

// Conditions are words that a script takes, of everything that conditions can speak of.
func TestDrawnConditionsAreVaried(t *testing.T) {
	seen := map[script.What]int{}
	for seed := range 400 {
		draw := Job
		if seed%2 == 1 {
			draw = Pair // only these have a link wire
		}
		k, list := kit.Parse("random.yaml", []byte(rapid.Custom(draw).Example(seed)), kit.NoFiles)
		if k == nil {
			t.Fatal(list)
		}
		names := car.Names(k)
		words := rapid.Custom(func(t *rapid.T) string { return Conditions(t, names, 300) }).Example(seed)
		s, list := script.ParseIn("random", []byte(words), names)
		if len(list) > 0 {
			t.Fatalf("%s: %v", words, list)
		}
		for _, c := range s.World {
			seen[c.What]++
		}
	}
	for _, what := range []script.What{script.Supply, script.Heat, script.Battery, script.Feed, script.Tap, script.Output, script.Link, script.Strap, script.Module} {
		if seen[what] < 20 {
			t.Errorf("only %d conditions of %s", seen[what], what)
		}
	}
}
