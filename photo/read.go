package photo

import (
	"bytes"
	"image"
	_ "image/jpeg" // the two kinds that cameras, phones and scanners write
	_ "image/png"

	"lampwright/report"
)

// Limits of a photograph. A larger one shows a lamp no better, and a small file can claim to unfold into any size.
const (
	MaxBytes  = 32 << 20
	MaxPixels = 64 << 20
)

// Photo is a photograph as it lies in its file, and how it is to be turned.
type Photo struct {
	Kind   string // jpeg or png
	Image  image.Image
	Turned Orientation
}

// Size gives width and height, in pixels, the right way up.
func (p *Photo) Size() (width, height int) {
	b := p.Image.Bounds()
	if p.Turned >= leftTop {
		return b.Dy(), b.Dx()
	}
	return b.Dx(), b.Dy()
}

// Read reads a photograph. The error is a report.Diagnostic.
func Read(name string, data []byte) (*Photo, error) {
	fail := func(why string) error {
		return report.Errorf("photo", report.Place{File: name}, "the photo cannot be used: %s", why).
			Do("use a JPEG or PNG picture of at most 64 million pixels and 32 MiB")
	}
	if len(data) > MaxBytes {
		return nil, fail("it is larger than 32 MiB")
	}
	size, kind, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil:
		return nil, fail("it is no JPEG or PNG picture")
	case size.Width < 1 || size.Height < 1 || size.Width > MaxPixels/size.Height:
		return nil, fail("it has too many pixels")
	}
	picture, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fail("it is damaged")
	}
	return &Photo{kind, picture, orientationOf(data)}, nil
}
