package loader

import (
	"context"
	"fmt"
	"io"
	"time"

	"lampwright/report"
)

// Stream feeds a module with light: whole frames of levels, no faster than the line carries them. A frame that comes while the
// line is still busy is left out; the next one tells all outputs anew. The module goes back to its own program a quarter of a
// second after the last frame (docs/engine.md, section 9), so a still picture is sent again and again.
type Stream struct {
	port    io.Writer
	outputs int
	free    time.Duration // when the line is free again, by the caller's clock
}

// StreamHold is how long a module holds a frame: send the next one sooner.
const StreamHold = 250 * time.Millisecond

// NewStream streams to a module of so many outputs, whose port is open.
func NewStream(port io.Writer, outputs int) *Stream { return &Stream{port: port, outputs: outputs} }

// Interval is the time that one frame takes on the line: the shortest from one frame to the next.
func (s *Stream) Interval() time.Duration {
	return onLine(s.outputs+packetExtra) + breath
}

// breath between two packets: a module that lost a byte begins anew in it.
const breath = 5 * time.Millisecond

// Frame sends levels, one lightness 0..255 an output, unless the line is still busy at that moment; it tells whether it did.
// at is the time since the stream began. It fails with the error of the port.
func (s *Stream) Frame(at time.Duration, levels []byte) (sent bool, err error) {
	if len(levels) != s.outputs {
		return false, fmt.Errorf("the frame has %d levels and the module %d outputs", len(levels), s.outputs)
	}
	if at < s.free {
		return false, nil
	}
	if _, err := s.port.Write(packet(commandLive, levels...)); err != nil {
		return false, err
	}
	s.free = at + s.Interval()
	return true, nil
}

// Stream asks the module whether it takes streamed light and makes ready to send it.
func (l *Serial) Stream(ctx context.Context) (*Stream, *report.Diagnostic) {
	id, err := identify(l.memory(ctx))
	if err != nil {
		return nil, l.trouble(ctx, err)
	}
	if len(id.Hands) == 0 || !id.Hands[0].Live {
		return nil, fail(IDNoLive, "the module on %s takes no streamed light", l.name).
			because("its program does not allow it").
			do("write stream: true under the module in the job, load it, then play again")
	}
	return NewStream(l.port, 8*id.Hands[0].Registers), nil
}
