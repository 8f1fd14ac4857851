package vector_test

import (
	"bytes"
	"os"
	"reflect"
	"strings"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

func TestReadFormatsBack(t *testing.T) {
	for _, path := range files(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		v, err := vector.Read(text)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		if !bytes.Equal(v.Format(), text) {
			t.Errorf("%s reads and writes differently", path)
		}
	}
}

// What a line leaves unsaid is as the format's page has it; a code that is given alone leaves the other as it was.
func TestReadKeepsCodes(t *testing.T) {
	block := strings.Repeat("00", 72)
	text := strings.NewReplacer("safe-a 53", "safe-a "+block, "safe-b 53", "safe-b "+block, "run 10 00 1\n",
		"strap RH\nmemory 00112233445566778899\nrun 1 00 1\nsupply 10\nrun 2 00 1\nheat 20\nlive 0102030405060708\nrun 3 00 1\nrun 4 00 1\nkept 99112233445566778800\n").Replace(small)
	v, err := vector.Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	want := []vector.Run{
		{Refreshes: 1, Link: true}, {Refreshes: 2, Link: true, Codes: &program.Codes{Supply: 0x10, Heat: 0xFF}},
		{Refreshes: 3, Link: true, Codes: &program.Codes{Supply: 0x10, Heat: 0x20}, Live: []uint8{1, 2, 3, 4, 5, 6, 7, 8}}, {Refreshes: 4, Link: true},
	}
	if !reflect.DeepEqual(v.Runs, want) || v.Strap != program.RH || v.Memory[9] != 0x99 || v.Kept[0] != 0x99 {
		t.Errorf("read %+v, strap %d, memory % x, kept % x", v.Runs, v.Strap, v.Memory, v.Kept)
	}
}

const small = `# small
vector 1
safe-a 53
safe-b 53
decoder refuse 0 bytes
run 10 00 1
registers 1
show 0 0 00 00 00 00 00 00 00 00 00 00 00 00 0000000000000000
`

func TestReadTellsMistakes(t *testing.T) {
	block := strings.Repeat("00", 72)
	good := strings.ReplaceAll(strings.ReplaceAll(small, "safe-a 53", "safe-a "+block), "safe-b 53", "safe-b "+block)
	if _, err := vector.Read([]byte(good)); err != nil {
		t.Fatalf("the whole one is refused: %v", err)
	}
	for _, c := range []struct{ old, with, want string }{
		{"vector 1", "vector 2", "line 2"}, {"vector 1\n", "", "first statement"}, {good, "", "without a statement"},
		{"decoder refuse 0 bytes", "decoder", "unclear"}, {"decoder refuse 0 bytes", "decoder accept it", "unclear"}, {"decoder refuse 0 bytes\n", "", "no word of the decoder"},
		{"run 10 00 1", "run 0 00 1", `"0" is no number`}, {"run 10 00 1", "run 10 0 1", `"0" is not what`}, {"run 10 00 1", "run 10 00", "give 3"},
		{"run 10 00 1", "walk 10 00 1", "unknown statement"}, {"run 10 00 1\n", "", "no samples"}, {"registers 1", "registers 9", "1 to 8"},
		{"registers 1\n", "", "before registers"}, {"show 0", "show 4", "out of order"}, {"show 0 0 00 00", "show 0 0 00 0000", "pairs of hex"},
		{"run 10 00 1", "strap up\nrun 10 00 1", "missing, LH or RH"}, {"run 10 00 1", "memory 00\nrun 10 00 1", "pairs of hex"}, {"run 10 00 1", "kept 00\nrun 10 00 1", "pairs of hex"},
		{"run 10 00 1", "supply 7\nrun 10 00 1", "pairs of hex"}, {"run 10 00 1", "heat\nrun 10 00 1", "give 1"}, {"run 10 00 1", "run 10 00 1\nsupply 79", "after the last run"},
		{"run 10 00 1", "run 10 00 1\nlive 0000000000000000", "after the last run"}, {"run 10 00 1", "live 00\nrun 10 00 1", "a live frame of 1 levels"},
		{"run 10 00 1", "live 0000000000000000\nlive 0000000000000000\nrun 10 00 1", "two live frames"},
		{"show 0 0 00 00", "show 0 0 00", "give 15"}, {"safe-a " + block, "safe-a 00", "72 bytes"}, {"run 10 00 1", "run 10 FF 1", "lower case"}, {"run 10", "run  10", "give 3"},
	} {
		text := strings.Replace(good, c.old, c.with, 1)
		if text == good {
			t.Fatalf("%q is not in the text", c.old)
		}
		if _, err := vector.Read([]byte(text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q for %q: %v, expected %q", c.with, c.old, err, c.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	for _, path := range files(f) {
		text, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		if len(text) < 4000 { // long ones only slow the fuzzer
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		v, err := vector.Read(text)
		if err != nil {
			return
		}
		again, err := vector.Read(v.Format())
		if err != nil || !reflect.DeepEqual(v, again) {
			t.Fatalf("%+v became %+v: %v", v, again, err)
		}
	})
}
