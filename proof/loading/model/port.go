package model

import (
	"errors"
	"time"
)

// Port is a serial port with a Module behind it and no time in between: what the module answers is there at once, and a Read
// that finds nothing has waited in vain.
type Port struct {
	*Module
	// Out and In change bytes on their way to the module and back; nil: they arrive as they were sent.
	Out, In func(p []byte) []byte
	// Before is called before each packet that the tool sends, which counts from 1; may be nil.
	Before func(packet int)
	// Unplugged makes every call fail.
	Unplugged bool

	Packets int
	waiting []byte
	timeout time.Duration
}

var errUnplugged = errors.New("device not configured")

// SetReadTimeout sets how long a Read waits.
func (p *Port) SetReadTimeout(d time.Duration) error {
	p.timeout = d
	return nil
}

// Read gives what has come from the module.
func (p *Port) Read(b []byte) (int, error) {
	if p.Unplugged {
		return 0, errUnplugged
	}
	if len(p.waiting) == 0 {
		if p.timeout > 3*time.Second {
			p.Silence()
		} else {
			p.Gap()
		}
		return 0, nil
	}
	n := copy(b, p.waiting)
	p.waiting = p.waiting[n:]
	return n, nil
}

// Write sends bytes to the module.
func (p *Port) Write(b []byte) (int, error) {
	p.Packets++
	if p.Before != nil {
		p.Before(p.Packets)
	}
	if p.Unplugged {
		return 0, errUnplugged
	}
	sent := b
	if p.Out != nil {
		sent = p.Out(append([]byte(nil), b...))
	}
	for _, x := range sent {
		back := p.Take(x)
		if p.In != nil {
			back = p.In(back)
		}
		p.waiting = append(p.waiting, back...)
	}
	return len(b), nil
}
