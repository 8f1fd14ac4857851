package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// makeJob makes a kit and gives its folder and what JSON tells of it.
func makeJob(t *testing.T, path string) (folder string, told made) {
	t.Helper()
	folder = filepath.Join(t.TempDir(), "kit")
	code, out, errors := call(nil, "make", path, "-o", folder, "--json")
	if code != 0 {
		t.Fatalf("%s: %s", path, errors)
	}
	if err := json.Unmarshal([]byte(out), &told); err != nil {
		t.Fatal(err)
	}
	return folder, told
}

func read(t *testing.T, folder, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// Both tails of the demo job are written with the same bytes; their summary says what the words of the job became.
func TestMadeDemoJob(t *testing.T) {
	folder, told := makeJob(t, "../../examples/pickup/pickup.yaml")
	if !bytes.Equal(read(t, folder, "rear-lh.hex"), read(t, folder, "rear-rh.hex")) || bytes.Equal(read(t, folder, "nose-lh.hex"), read(t, folder, "nose-rh.hex")) {
		t.Error("the tails differ, or the noses do not")
	}
	lh, rh := told.Modules[0], told.Modules[1]
	if lh.Module != "rear-lh" || lh.Check != rh.Check || lh.Twin != "rear-rh" || rh.Twin != "rear-lh" || lh.Strap != "LH" || rh.Strap != "RH" || !lh.Stream || lh.Sleep < 30 || lh.Sleep > 30.256 {
		t.Errorf("%+v\n%+v", lh, rh)
	}
	if lh.Fuse != "F2" || !reflect.DeepEqual(lh.AlsoFed, []string{"stop", "turn-lh", "tail"}) || lh.OnlyFed != "" || lh.Outputs != 31 {
		t.Errorf("%+v", lh)
	}
	if want := []madeLoad{{Load: "stop-lh", Output: 31, Input: "stop", Kind: "message", Ohm: 120, Window: 150}}; !reflect.DeepEqual(lh.Loads, want) {
		t.Errorf("%+v", lh.Loads)
	}
	var limits []string
	for _, l := range lh.Limits {
		limits = append(limits, l.Limit+" "+l.Written)
		if l.Code == 0 || l.At == "" || l.Least == l.Most || l.Over == "" {
			t.Errorf("%+v", l)
		}
	}
	if want := "shows-above 11.8 V, halve-above 17 V, shows-off-at 85 °C, halve-at 105 °C"; strings.Join(limits, ", ") != want {
		t.Errorf("limits %v", limits)
	}
	summary := string(read(t, folder, summaryName))
	for _, line := range []string{
		"rear-lh and rear-rh hold one image, ", "fed through fuse F2, and through diodes by stop, turn-lh and tail", "the strap in its plug must say LH",
		"shows end below 11.8 V", "all light is halved from 17 V on", "sleeps after 30.2 s", "takes streamed light",
		"out31 switches a load of 120 Ω on the wire of stop for 150 ms", "out31  stop-lh (a load of 120 Ω, no light)", "in7  ignition",
	} {
		if !strings.Contains(summary, line) {
			t.Errorf("the summary does not say %q", line)
		}
	}
	if listing := string(read(t, folder, "gate.txt")); !strings.Contains(listing, "not while in7") {
		t.Error("the listing does not tell the interlock")
	}
}

func TestMadeTwoWireTruck(t *testing.T) {
	folder, told := makeJob(t, "../../examples/lamps/two-wire-truck.yaml")
	for _, m := range told.Modules {
		if len(m.ToldApart) != 1 || m.ToldApart[0].Wire == m.ToldApart[0].Turn || m.ToldApart[0].Reference == "" {
			t.Errorf("%+v", m)
		}
		if listing := string(read(t, folder, m.Module+".txt")); !strings.Contains(listing, "no pin: the turn on "+m.ToldApart[0].Wire+", told apart from the stop by "+m.ToldApart[0].Reference) {
			t.Errorf("the listing of %s does not tell how stop and turn are told apart", m.Module)
		}
	}
}
