package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// dots draws soft round spots on dark ground.
func dots(width, height int, at ...[2]float64) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			v := 12.0
			for _, p := range at {
				d := math.Hypot(float64(x)+0.5-p[0], float64(y)+0.5-p[1])
				v += 240 * math.Exp(-d*d/18)
			}
			v = min(v, 255)
			m.Set(x, y, color.RGBA{uint8(v), uint8(v * 0.6), uint8(v * 0.2), 255})
		}
	}
	return m
}

func asJPEG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// turned puts an Exif orientation into a JPEG.
func turned(data []byte, o Orientation, order binary.AppendByteOrder) []byte {
	mark := "II*\x00"
	if order == binary.AppendByteOrder(binary.BigEndian) {
		mark = "MM\x00*"
	}
	tiff := order.AppendUint32([]byte(mark), 8)
	tiff = order.AppendUint16(tiff, 1)
	tiff = order.AppendUint16(order.AppendUint16(tiff, 0x0112), 3)
	tiff = order.AppendUint32(tiff, 1)
	tiff = order.AppendUint16(order.AppendUint16(tiff, uint16(o)), 0)
	tiff = order.AppendUint32(tiff, 0)
	part := append([]byte("Exif\x00\x00"), tiff...)
	head := binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(part)+2))
	return append(append(append([]byte{}, data[:2]...), append(head, part...)...), data[2:]...)
}

func TestSpotsAreFoundWhereTheyAre(t *testing.T) {
	want := [][2]float64{{20, 12}, {60, 12.5}, {100, 12}, {40, 50}, {81, 51}}
	for kind, data := range map[string][]byte{"jpeg": asJPEG(t, dots(130, 70, want...)), "png": asPNG(t, dots(130, 70, want...))} {
		p, err := Read("x", data)
		if err != nil || p.Kind != kind {
			t.Fatalf("%s: %v", kind, err)
		}
		spots := p.Spots(0.5)
		if len(spots) != len(want) {
			t.Fatalf("%s: %d spots: %v", kind, len(spots), spots)
		}
		for i, near := range []int{0, 2, 1, 3, 4} { // by rows, as the eye reads
			best := math.Inf(1)
			for _, s := range spots {
				best = min(best, math.Hypot(s.X-want[near][0], s.Y-want[near][1]))
			}
			if best > 0.3 {
				t.Errorf("%s: spot %d is off by %.2f pixels", kind, i, best)
			}
		}
	}
}

func TestSpotsOfATurnedPhoto(t *testing.T) {
	data := asJPEG(t, dots(130, 70, [2]float64{20, 12}))
	for o, want := range map[Orientation][2]float64{
		topLeft: {20, 12}, topRight: {110, 12}, bottomRight: {110, 58}, bottomLeft: {20, 58}, leftTop: {12, 20}, rightTop: {58, 20}, rightBottom: {58, 110}, leftBottom: {12, 110},
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			p, err := Read("x", turned(data, o, order))
			if err != nil || p.Turned != o {
				t.Fatalf("orientation %d read as %d: %v", o, p.Turned, err)
			}
			s := p.Spots(0.5)
			if len(s) != 1 || math.Hypot(s[0].X-want[0], s[0].Y-want[1]) > 0.3 {
				t.Errorf("orientation %d: %v, want %v", o, s, want)
			}
			if w, h := p.Size(); (w == 130) != (o < leftTop) || w*h != 130*70 {
				t.Errorf("orientation %d: %d by %d", o, w, h)
			}
		}
	}
}

// ImageMagick counts the same spots in the same picture.
func TestSpotsAgreeWithImageMagick(t *testing.T) {
	convert, err := exec.LookPath("convert")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("ImageMagick is missing")
		}
		t.Skip("ImageMagick is not installed")
	}
	var at [][2]float64
	for i := range 40 {
		at = append(at, [2]float64{15 + float64(i%8)*30 + float64(i%3), 15 + float64(i/8)*28})
	}
	name := filepath.Join(t.TempDir(), "lamp.png")
	data := asPNG(t, dots(260, 160, at...))
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(convert, name, "-colorspace", "gray", "-auto-level", "-threshold", "50%", "-define", "connected-components:verbose=true", "-connected-components", "4", "null:").Output()
	if err != nil {
		t.Fatal(err)
	}
	theirs := strings.Count(string(out), "gray(255)") + strings.Count(string(out), "(255,255,255)")
	p, err := Read("x", data)
	if err != nil {
		t.Fatal(err)
	}
	if ours := len(p.Spots(0.5)); ours != 40 || theirs != 40 {
		t.Errorf("%d spots, ImageMagick finds %d:\n%s", ours, theirs, out)
	}
}

func TestWhatIsNoPhotoIsRefused(t *testing.T) {
	bomb := asPNG(t, image.NewGray(image.Rect(0, 0, 1, 1)))
	binary.BigEndian.PutUint32(bomb[16:], 60000) // width and height, with a right check
	binary.BigEndian.PutUint32(bomb[20:], 60000)
	binary.BigEndian.PutUint32(bomb[29:], crc32.ChecksumIEEE(bomb[12:29]))
	cut := asJPEG(t, dots(50, 50))
	for name, data := range map[string][]byte{
		"nothing": nil, "text": []byte("not a picture"), "bomb": bomb, "cut off": cut[:len(cut)/2], "too large": make([]byte, MaxBytes+1),
	} {
		if _, err := Read("x", data); err == nil || !strings.Contains(err.Error(), "cannot be used") {
			t.Errorf("%s: %v", name, err)
		}
	}
	dark, err := Read("x", asPNG(t, image.NewGray(image.Rect(0, 0, 40, 40))))
	if err != nil || dark.Spots(0.5) != nil {
		t.Errorf("a dark photo has spots: %v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(asJPEG(f, dots(30, 20, [2]float64{9, 9})), 0.5)
	f.Add(turned(asJPEG(f, dots(30, 20)), leftBottom, binary.LittleEndian), 0.0)
	f.Add(asPNG(f, dots(30, 20, [2]float64{9, 9})), 1.0)
	f.Fuzz(func(t *testing.T, data []byte, atLeast float64) {
		p, err := Read("x", data)
		if err != nil {
			return
		}
		if b := p.Image.Bounds(); b.Dx()*b.Dy() > 1<<20 {
			return // time, not meaning
		}
		w, h := p.Size()
		for _, s := range p.Spots(atLeast) {
			if !(s.X >= 0 && s.X <= float64(w) && s.Y >= 0 && s.Y <= float64(h) && s.Size > 0) {
				t.Errorf("a spot beyond the photo: %v", s)
			}
		}
	})
}

func BenchmarkSpots(b *testing.B) {
	p := &Photo{Image: dots(400, 300, [2]float64{50, 50}, [2]float64{300, 200}), Turned: topLeft}
	for b.Loop() {
		p.Spots(0.5)
	}
}
