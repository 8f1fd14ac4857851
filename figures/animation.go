package figures

import (
	"bytes"
	"compress/lzw"
	"encoding/binary"
	"fmt"
	"image"
	"io"

	"lampwright/units"
)

// Animation writes frames as one GIF that repeats for ever (GIF89a specification, CompuServe 1990).
//
// Own few lines instead of image/gif: that package wants all frames in memory before it writes the first byte, and a
// minute of frames does not fit.
type Animation struct {
	out     io.Writer
	picture *Picture
	delay   int // hundredths of a second
	before  []uint8
	frames  int
	err     error
}

// Frame lengths and limits of an animation.
const (
	MinFrame  = 20 * units.Millisecond // many viewers slow down what is shorter (common practice, no source)
	MaxFrames = 20_000
)

// NewAnimation begins a GIF whose frames last for frame each: whole hundredths of a second, at least MinFrame.
func NewAnimation(out io.Writer, p *Picture, frame units.Time) (*Animation, error) {
	if frame < MinFrame || frame > units.Second || frame%(10*units.Millisecond) != 0 {
		return nil, fmt.Errorf("a frame of %s: a GIF counts in steps of 10 ms, here from %s to %s", frame, MinFrame, units.Second)
	}
	a := &Animation{out: out, picture: p, delay: int(frame / (10 * units.Millisecond))}
	var head bytes.Buffer
	head.WriteString("GIF89a")
	a.size(&head, p.Bounds())
	head.Write([]byte{0xF7, 0, 0}) // a global table of 256 entries, entry 0 as background, square dots
	for _, c := range p.palette.colours() {
		r, g, b, _ := c.RGBA()
		head.Write([]byte{byte(r >> 8), byte(g >> 8), byte(b >> 8)})
	}
	head.WriteString("\x21\xFF\x0BNETSCAPE2.0\x03\x01\x00\x00\x00") // repeat for ever
	a.write(head.Bytes())
	return a, a.err
}

func (a *Animation) size(b *bytes.Buffer, r image.Rectangle) {
	var size [4]byte
	binary.LittleEndian.PutUint16(size[0:], uint16(r.Dx()))
	binary.LittleEndian.PutUint16(size[2:], uint16(r.Dy()))
	b.Write(size[:])
}

func (a *Animation) write(p []byte) {
	if a.err == nil {
		_, a.err = a.out.Write(p)
	}
}

// Add draws a frame and writes what changed.
func (a *Animation) Add(f Frame) error {
	if a.frames++; a.frames > MaxFrames && a.err == nil {
		a.err = fmt.Errorf("more than %d frames: make the frames longer or the script shorter", MaxFrames)
	}
	if a.err != nil {
		return a.err
	}
	now := a.picture.Draw(f).Pix
	changed := a.picture.Bounds()
	if a.before != nil {
		changed = a.changed(now)
	}
	var b bytes.Buffer
	b.Write([]byte{0x21, 0xF9, 4, 1<<2 | 1, byte(a.delay), byte(a.delay >> 8), transparent, 0}) // leave in place
	b.WriteByte(0x2C)
	var corner [4]byte
	binary.LittleEndian.PutUint16(corner[0:], uint16(changed.Min.X))
	binary.LittleEndian.PutUint16(corner[2:], uint16(changed.Min.Y))
	b.Write(corner[:])
	a.size(&b, changed)
	b.WriteByte(0) // no table of its own
	b.WriteByte(8) // bits of a code to begin with
	blocks := &blockWriter{to: &b}
	pack := lzw.NewWriter(blocks, lzw.LSB, 8)
	if _, err := pack.Write(a.cut(now, changed)); err != nil {
		a.err = err
	}
	if err := pack.Close(); err != nil && a.err == nil {
		a.err = err
	}
	blocks.end()
	a.write(b.Bytes())
	a.before = now
	return a.err
}

// changed is the box around the dots that differ from the frame before; one dot when none does.
func (a *Animation) changed(now []uint8) image.Rectangle {
	w := a.picture.width
	box := image.Rectangle{}
	for y := range a.picture.height {
		row, old := now[y*w:(y+1)*w], a.before[y*w:(y+1)*w]
		if bytes.Equal(row, old) {
			continue
		}
		from, to := 0, w
		for row[from] == old[from] {
			from++
		}
		for row[to-1] == old[to-1] {
			to--
		}
		box = box.Union(image.Rect(from, y, to, y+1))
	}
	if box.Empty() {
		return image.Rect(0, 0, 1, 1)
	}
	return box
}

// cut gives the entries within a box, with "as before" where nothing changed: long runs pack well.
func (a *Animation) cut(now []uint8, box image.Rectangle) []uint8 {
	w := a.picture.width
	out := make([]uint8, 0, box.Dx()*box.Dy())
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			v := now[y*w+x]
			if a.before != nil && v == a.before[y*w+x] {
				v = transparent
			}
			out = append(out, v)
		}
	}
	return out
}

// Close ends the GIF. An animation without a frame is an error.
func (a *Animation) Close() error {
	if a.frames == 0 && a.err == nil {
		a.err = fmt.Errorf("there is no frame to show: give a script that presses something")
	}
	a.write([]byte{0x3B})
	return a.err
}

// blockWriter cuts a stream into the blocks of at most 255 bytes that GIF wants.
type blockWriter struct {
	to   *bytes.Buffer
	kept []byte
}

func (w *blockWriter) Write(p []byte) (int, error) {
	w.kept = append(w.kept, p...)
	for len(w.kept) >= 255 {
		w.block(w.kept[:255])
		w.kept = append(w.kept[:0], w.kept[255:]...)
	}
	return len(p), nil
}

func (w *blockWriter) block(p []byte) {
	w.to.WriteByte(byte(len(p)))
	w.to.Write(p)
}

func (w *blockWriter) end() {
	if len(w.kept) > 0 {
		w.block(w.kept)
	}
	w.to.WriteByte(0)
}
