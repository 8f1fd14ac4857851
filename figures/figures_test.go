package figures

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/gif"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"lampwright/lamp"
	"lampwright/units"
)

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; got:\n%s", path, got)
	}
}

func TestTerminalPictures(t *testing.T) {
	lamps := pickup(t)
	f := lit(lamps, 1240*units.Millisecond)
	var out bytes.Buffer
	for _, columns := range []int{80, 120} {
		out.WriteString(NewTerminal(lamps, TerminalOptions{Columns: columns}).Picture(f))
	}
	out.WriteString(NewTerminal(lamps[:1], TerminalOptions{Columns: 100, Rows: 24}).Picture(f))
	out.WriteString(Status(f) + "\n" + Status(Frame{}) + "\n")
	golden(t, "terminal.txt", out.Bytes())
	golden(t, "colour.txt", []byte(NewTerminal(lamps, TerminalOptions{Columns: 80, Colour: true}).Picture(f)))
}

// Every LED that is lit shows in the plain picture, brighter light never as a darker character.
func TestPlainPictureGrowsWithTheLight(t *testing.T) {
	l := &lamp.Lamp{Name: "one"}
	unroll(t, l, "dot", lamp.Single{At: lamp.Point{}}, lamp.Grouping{By: lamp.ByEach}, "red")
	term := NewTerminal([]*lamp.Lamp{l}, TerminalOptions{Columns: 40})
	last := -1
	for i := range 1001 {
		picture := term.Picture(Frame{Light: [][]units.Share{{units.Share(float64(i) / 1000)}}})
		body, _, _ := strings.Cut(strings.SplitN(picture, "\n", 3)[2], "one") // without title and name
		at := strings.IndexAny(body, Ramp())
		if at < 0 {
			t.Fatalf("no LED in\n%s", picture)
		}
		step := strings.IndexByte(Ramp(), body[at])
		if step < last || i == 0 && step != 0 || i > 0 && step == 0 || i == 1000 && step != len(Ramp())-1 {
			t.Fatalf("light %d/1000 is %q", i, Ramp()[step])
		}
		last = step
	}
}

func TestTerminalKeepsItsRoom(t *testing.T) {
	lamps := pickup(t)
	for _, columns := range []int{20, 40, 79, 80, 133, 200} {
		for _, rows := range []int{0, 12, 24} {
			term := NewTerminal(lamps, TerminalOptions{Columns: columns, Rows: rows})
			lines := strings.Split(strings.TrimSuffix(term.Picture(lit(lamps, 0)), "\n"), "\n")
			if len(lines) != term.Rows() {
				t.Errorf("%d columns: %d lines, Rows says %d", columns, len(lines), term.Rows())
			}
			if rows > 20 && len(lines) > rows+2 {
				t.Errorf("%d columns, %d rows: %d lines", columns, rows, len(lines))
			}
			for _, line := range lines {
				if n := utf8.RuneCountInString(line); n > columns {
					t.Errorf("%d columns: a line of %d", columns, n)
				}
			}
		}
	}
}

// The views: rear lamps LH at the left, front lamps LH at the right, and the picture of a mirrored vehicle is mirrored.
func TestSidesAsAnOnlookerSeesThem(t *testing.T) {
	s := Arrange(pickup(t), Sheet{Width: 1000, Height: 800, Char: 7, Line: 20, Pitch: 20})
	x := map[string]float64{}
	for _, l := range s.Lamps {
		x[l.Lamp.Name] = l.Name.X
	}
	if !(x["tail-lh"] < x["bar"] && x["bar"] < x["tail-rh"]) {
		t.Errorf("rear: %v", x)
	}
	if !(x["front-rh"] < x["front-lh"]) {
		t.Errorf("front: %v", x)
	}
}

// Whatever the places: no lamp is lost, none covers another, all stay on the sheet and to one scale.
func TestArrange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lamps []*lamp.Lamp
		for i := range rapid.IntRange(1, 7).Draw(t, "lamps") {
			l := &lamp.Lamp{Name: fmt.Sprintf("lamp-%d", i)}
			l.Place.End = lamp.End(rapid.IntRange(0, 1).Draw(t, "end"))
			l.Place.At = lamp.Point{X: rapid.Float64Range(-900, 900).Draw(t, "x"), Y: rapid.Float64Range(300, 1500).Draw(t, "y")}
			w, h := rapid.Float64Range(5, 1400).Draw(t, "w"), rapid.Float64Range(5, 400).Draw(t, "h")
			b, wrong := lamp.Unroll("g", lamp.Grid{From: lamp.Point{}, To: lamp.Point{X: w, Y: h}, Columns: 4, Rows: 2}, lamp.Grouping{}, "p", "red")
			if len(wrong) > 0 {
				t.Fatal(wrong)
			}
			l.Add(b)
			lamps = append(lamps, l)
		}
		sheet := Sheet{Width: 900, Height: 700, Char: 7, Line: 18, Pitch: 20}
		s := Arrange(lamps, sheet)
		if len(s.Lamps) != len(lamps) {
			t.Fatalf("%d of %d lamps", len(s.Lamps), len(lamps))
		}
		if s.Width > sheet.Width*slack || s.Height > sheet.Height*slack {
			t.Fatalf("the scene is %.0f by %.0f", s.Width, s.Height)
		}
		for i, a := range s.Lamps {
			if a.min.x < 0 || a.min.y < 0 || a.max.x > s.Width || a.max.y > s.Height || a.scale != s.Scale {
				t.Fatalf("%s lies at %v..%v of %.0f by %.0f", a.Lamp.Name, a.min, a.max, s.Width, s.Height)
			}
			for _, b := range s.Lamps[i+1:] {
				if a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y {
					t.Fatalf("%s covers %s", a.Lamp.Name, b.Lamp.Name)
				}
			}
		}
	})
}

// The GIF is read back by image/gif: size, times, and every dot of every frame as drawn.
func TestAnimationReadsBack(t *testing.T) {
	lamps := pickup(t)
	p := NewPicture(lamps, PictureOptions{Width: 500, Title: "Pickup", Inputs: []string{"stop", "turn-lh"}})
	var out bytes.Buffer
	a, err := NewAnimation(&out, p, 40*units.Millisecond)
	if err != nil {
		t.Fatal(err)
	}
	dark, bright := Frame{}, lit(lamps, 0)
	half := lit(lamps, 80*units.Millisecond)
	half.Light[0] = nil
	frames := []Frame{dark, bright, half, half, dark}
	for _, f := range frames {
		if err := a.Add(f); err != nil {
			t.Fatal(err)
		}
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	got, err := gif.DecodeAll(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Image) != len(frames) || got.LoopCount != 0 || !slices.Equal(got.Delay, []int{4, 4, 4, 4, 4}) {
		t.Fatalf("%d frames, loop %d, delays %v", len(got.Image), got.LoopCount, got.Delay)
	}
	shown := image.NewPaletted(p.Bounds(), p.palette.colours())
	for i, f := range frames {
		part := got.Image[i]
		for y := part.Rect.Min.Y; y < part.Rect.Max.Y; y++ {
			for x := part.Rect.Min.X; x < part.Rect.Max.X; x++ {
				if v := part.ColorIndexAt(x, y); v != transparent {
					shown.SetColorIndex(x, y, v)
				}
			}
		}
		if want := p.Draw(f); !bytes.Equal(shown.Pix, want.Pix) {
			t.Fatalf("frame %d differs", i)
		}
	}
	if r := got.Image[3].Rect; r.Dx()*r.Dy() != 1 {
		t.Errorf("an unchanged frame writes %v", r)
	}
}

func TestAnimationRefuses(t *testing.T) {
	p := NewPicture(pickup(t), PictureOptions{Width: 300})
	for _, frame := range []units.Time{0, 10 * units.Millisecond, 25 * units.Millisecond, 2 * units.Second} {
		if _, err := NewAnimation(io.Discard, p, frame); err == nil {
			t.Errorf("a frame of %v is taken", frame)
		}
	}
	a, err := NewAnimation(io.Discard, p, MinFrame)
	if err != nil {
		t.Fatal(err)
	}
	if a.Close() == nil {
		t.Error("an animation without a frame is taken")
	}
	full := errors.New("disk full")
	if _, err := NewAnimation(failing{full}, p, MinFrame); !errors.Is(err, full) {
		t.Errorf("a failing writer gives %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// A LED that is on is brighter than the same LED dark, in its own colour, and its neighbours see a glow.
func TestPictureShowsLight(t *testing.T) {
	lamps := pickup(t)
	p := NewPicture(lamps, PictureOptions{})
	on, off := p.Draw(lit(lamps, 0)), p.Draw(Frame{})
	colours := p.palette.colours()
	for _, l := range p.scene.Lamps {
		for _, led := range l.LEDs {
			x, y := l.Dot(led.At)
			lr, lg, lb, _ := colours[on.ColorIndexAt(int(x), int(y))].RGBA()
			dr, _, _, _ := colours[off.ColorIndexAt(int(x), int(y))].RGBA()
			share := lit(lamps, 0).share(l.Index, led.Group)
			if share > 0.1 && lr <= dr {
				t.Fatalf("%s %s is no brighter when it is on", l.Lamp.Name, led.ID)
			}
			if share > 0.5 && led.Colour != "white" && !(lr > lg && lg >= lb) {
				t.Fatalf("%s %s is shown as %d %d %d", l.Lamp.Name, led.ID, lr>>8, lg>>8, lb>>8)
			}
		}
	}
	if n := len(p.palette.bytes); n > transparent {
		t.Errorf("%d palette entries", n)
	}
}

func TestSVG(t *testing.T) {
	lamps := pickup(t)
	lamps[0].Name = `tail<&"lh`
	var out bytes.Buffer
	if err := WriteSVG(&out, lamps, PictureOptions{Width: 800, Title: "A & B", Inputs: []string{"stop", "tail"}}, lit(lamps, 1240*units.Millisecond)); err != nil {
		t.Fatal(err)
	}
	circles := 0
	for d := xml.NewDecoder(bytes.NewReader(out.Bytes())); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "circle" {
			circles++
		}
	}
	leds := 0
	for _, l := range lamps {
		leds += len(l.LEDs)
	}
	if circles < leds {
		t.Errorf("%d circles for %d LEDs", circles, leds)
	}
	golden(t, "snapshot.svg", out.Bytes())
}

func TestSameInputSameBytes(t *testing.T) {
	draw := func() []byte {
		lamps := pickup(t)
		p := NewPicture(lamps, PictureOptions{Width: 600, Inputs: []string{"stop"}})
		return p.Draw(lit(lamps, 0)).Pix
	}
	first := draw()
	for range 3 {
		if !bytes.Equal(first, draw()) {
			t.Fatal("two drawings of one frame differ")
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	lamps := pickup(b)
	p := NewPicture(lamps, PictureOptions{})
	f := lit(lamps, 0)
	for b.Loop() {
		p.Draw(f)
	}
}

// Writing stays in its place: a long title does not run over the view's name, a long lamp name leaves room for the light.
func TestLongNames(t *testing.T) {
	const title = "Rückleuchten for a customer who wants his name, his plate and the date on every picture of his car"
	long := &lamp.Lamp{Name: "the-long-name-of-a-lamp-lh"}
	unroll(t, long, "row", lamp.Row{Count: 12, PitchMM: 10}, lamp.Grouping{By: lamp.ByEach}, "red")
	for _, width := range []int{MinWidth, 400, 1280} {
		s := Arrange([]*lamp.Lamp{long}, Sheet{Width: float64(width), Height: float64(width), Char: charWidth, Line: lineHeight, Pitch: mostPitch})
		heading := s.heading(title, float64(width))
		first := s.Titles[0].X + textWidth(smallFace, s.Titles[0].Text)
		if left := float64(width) - lineHeight - textWidth(headFace, heading); left < first {
			t.Errorf("%d dots: the title begins at %.0f, the view's name ends at %.0f", width, left, first)
		}
		if cut := strings.TrimSuffix(heading, "…"); heading != title && heading != "" && (cut == heading || !strings.HasPrefix(title, cut)) {
			t.Errorf("%d dots: the title became %q", width, heading)
		}
		if name := s.Lamps[0].Name.Text; name != "the-long-na…-a-lamp-lh" {
			t.Errorf("the name became %q", name)
		}
		if reach := s.Lamps[0].max.x - s.Lamps[0].min.x; reach < 120 {
			t.Errorf("%d dots: the lamp is %.0f wide", width, reach)
		}
	}
	if s := Arrange(nil, Sheet{Width: 300}); s.heading("Tail lamps", 300) != "Tail lamps" || s.heading("", 300) != "" {
		t.Error("a title that fits is written as it is")
	}
}
