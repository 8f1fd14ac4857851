package loader

import (
	"context"
	"errors"
	"io"
	"time"

	"lampwright/program"
	"lampwright/report"
)

// Port is a serial port: 19 200 baud, 8 data bits, no parity, 1 stop bit. A Read that finds nothing within the read timeout
// gives 0 and no error.
type Port interface {
	io.ReadWriter
	SetReadTimeout(time.Duration) error
}

// Baud is the speed of the line, bits a second. A byte takes ten.
const Baud = 19_200

const bitsPerByte = 10

// How a Serial waits.
const (
	answerWait = 200 * time.Millisecond // silence after which a command is repeated
	quietWait  = 100 * time.Millisecond // silence after which nothing of an earlier answer is still to come
	noiseMost  = 4096                   // bytes that are no answer before the line is called noisy
	triesMost  = 6                      // times that a command is sent; a sleeping module needs one to wake
)

// onLine is the time that so many bytes take.
func onLine(bytes int) time.Duration {
	return time.Duration(bytes) * bitsPerByte * time.Second / Baud
}

// packetCheck is the check of a packet: the same as that of an image.
func packetCheck(p []byte) uint16 { return program.CRC(p) }

// Serial speaks with the module on a serial port. It is for one goroutine.
type Serial struct {
	port  Port
	name  string // of the port, for messages
	stale bool   // an answer to an earlier command may still come
}

// NewSerial speaks over a port that is open; name is what the builder calls it.
func NewSerial(port Port, name string) *Serial { return &Serial{port: port, name: name, stale: true} }

// Why nothing came of a command.
var (
	errSilent = errors.New("no answer")
	errNoise  = errors.New("bytes that are no answer")
)

// ask sends a command until its answer comes, tries times at most. The answer must satisfy right.
func (l *Serial) ask(ctx context.Context, tries int, right func(payload []byte) bool, command byte, payload ...byte) ([]byte, error) {
	err := errSilent
	for try := range tries {
		if stopped := ctx.Err(); stopped != nil {
			return nil, stopped
		}
		// After silence there is nothing to pass over, and a module that was just woken must hear us before it sleeps again.
		if l.stale && (try == 0 || errors.Is(err, errNoise)) {
			if err := l.drain(); err != nil {
				return nil, err
			}
		}
		l.stale = true
		out := packet(command, payload...)
		if _, err := l.port.Write(out); err != nil {
			return nil, lost{err}
		}
		var answer []byte
		if answer, err = l.answer(onLine(len(out)), command|answerBit, right); err == nil {
			l.stale = try > 0 // the answer to an earlier try may still come
			return answer, nil
		}
		if errors.As(err, new(lost)) {
			return nil, err
		}
	}
	return nil, err
}

// answer waits for one, sending being the time that the command itself takes.
func (l *Serial) answer(sending time.Duration, command byte, right func([]byte) bool) ([]byte, error) {
	if err := l.port.SetReadTimeout(answerWait + sending); err != nil {
		return nil, lost{err}
	}
	var received []byte
	for buf := make([]byte, 256); len(received) < noiseMost; {
		n, err := l.port.Read(buf)
		if err != nil {
			return nil, lost{err}
		}
		if n == 0 {
			if len(received) > packetExtra {
				return nil, errNoise
			}
			return nil, errSilent
		}
		received = append(received, buf[:n]...)
		if payload, ok := find(received, command); ok && right(payload) {
			return payload, nil
		}
	}
	return nil, errNoise
}

// drain passes over what still comes of an earlier answer.
func (l *Serial) drain() error {
	if err := l.port.SetReadTimeout(quietWait); err != nil {
		return lost{err}
	}
	buf := make([]byte, 256)
	for passed := 0; passed < noiseMost; {
		n, err := l.port.Read(buf)
		if err != nil {
			return lost{err}
		}
		if n == 0 {
			return nil
		}
		passed += n
	}
	return errNoise
}

// lost means that the port itself failed, as when its plug is pulled.
type lost struct{ cause error }

func (l lost) Error() string { return l.cause.Error() }
func (l lost) Unwrap() error { return l.cause }

// read gives n bytes of flash from an address on.
func (l *Serial) read(ctx context.Context, at, n int) ([]byte, error) {
	var out []byte
	for n > 0 {
		some := min(n, readMost)
		bytes, err := l.ask(ctx, triesMost, func(p []byte) bool { return len(p) == some }, commandRead, byte(at), byte(at>>8), byte(some))
		if err != nil {
			return nil, err
		}
		out = append(out, bytes...)
		at, n = at+some, n-some
	}
	return out, nil
}

func empty(p []byte) bool { return len(p) == 0 }

// trouble tells the builder why the line failed.
func (l *Serial) trouble(ctx context.Context, err error) *report.Diagnostic {
	switch {
	case ctx.Err() != nil:
		return fail(IDStopped, "it was stopped before it was done").do("run it again when you are ready")
	case errors.As(err, new(lost)):
		return fail(IDPortLost, "the port %s went away: %s", l.name, plain(err)).
			do("check the adapter and its cable, plug it in again, then run it again")
	case errors.Is(err, errNoise):
		return fail(IDNoise, "what comes over %s is no answer of a module", l.name).
			do("check that the adapter has 5 V levels and shares the module's ground, that the two data wires are not swapped, and that no other program or module talks on this line")
	}
	return fail(IDSilent, "no module answers on %s", l.name).
		do("check that the module has supply, that the adapter's transmit goes to the module's receive and back, that both share the ground, and on the pins board that the link wire is unplugged; " +
			"a module that was written through a loader of another make cannot be reached this way: use a programmer")
}

// plain is the last part of an error of the operating system: what went wrong, without what was being done.
func plain(err error) string {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return err.Error()
		}
		err = inner
	}
}
