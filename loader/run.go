package loader

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"lampwright/report"
)

// tailBytes is how much of avrdude's output is kept to judge a failure by.
const tailBytes = 64 << 10 // 64 KiB

// stopGrace is how long avrdude may take to end by itself when loading is called off, so that it leaves the chip in peace.
const stopGrace = 5 * time.Second

// Run writes the module. What avrdude prints goes to progress as it comes. It returns nil when everything was written and
// read back equal, else one diagnostic; its ID is one of the ID constants.
func Run(ctx context.Context, o Options, progress io.Writer) *report.Diagnostic {
	if d := readable(o.HEX); d != nil {
		return d
	}
	return o.run(ctx, o.Command(), progress)
}

// Held reads the module's flash. It gives the bytes from address 0 on, or one diagnostic, as Run does; nothing is written.
func Held(ctx context.Context, o Options, progress io.Writer) ([]byte, *report.Diagnostic) {
	folder, err := os.MkdirTemp("", "lampwright-read-")
	if err != nil {
		return nil, fail(IDOther, "no folder can be made in %s: %s", os.TempDir(), plain(err)).do("make room there, then run it again")
	}
	defer os.RemoveAll(folder)
	file := filepath.Join(folder, "held.bin")
	if d := o.run(ctx, o.ReadCommand(file), progress); d != nil {
		if d.ID == IDStopped {
			d.Next = "run it again when you are ready: nothing was written"
		}
		return nil, d
	}
	held, err := os.ReadFile(file)
	if err != nil {
		return nil, fail(IDOther, "%s says that it read the module, but left no bytes", o.begin()[0]).do("load with --replace, which does not ask what the module holds")
	}
	return held, nil
}

// Check reads the module and refuses a wrong pair before anything is written.
func (w Wanted) Check(ctx context.Context, o Options, progress io.Writer) *report.Diagnostic {
	if w.Replace {
		return nil
	}
	held, d := Held(ctx, o, progress)
	if d != nil {
		return d
	}
	id, err := identify(from(held))
	if err != nil {
		return fail(IDOther, "what the module holds cannot be read: %v", err).do("run it again")
	}
	return w.refuse(id, true)
}

// run runs avrdude and judges what it said.
func (o Options) run(ctx context.Context, command []string, progress io.Writer) *report.Diagnostic {
	cmd := exec.CommandContext(ctx, command[0], command[1:]...)
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	cmd.WaitDelay = stopGrace
	kept := &tail{}
	out := io.MultiWriter(progress, kept)
	cmd.Stdout, cmd.Stderr = out, out
	err := cmd.Run()
	switch {
	case err == nil:
		return nil
	case ctx.Err() != nil:
		return fail(IDStopped, "loading was stopped before it was done").
			do("load the module again before it is used: its memory may be half written")
	case errors.Is(err, exec.ErrNotFound) || errors.Is(err, fs.ErrNotExist):
		return fail(IDNoAvrdude, "the program %s is not on this machine", command[0]).
			because("it is what writes the module").
			do("install avrdude (on Debian: apt-get install avrdude; on macOS: brew install avrdude), or say where it is with LAMPWRIGHT_AVRDUDE")
	case errors.Is(err, fs.ErrPermission):
		return fail(IDNoAvrdude, "%s may not be run", command[0]).do("make it executable, or name another with LAMPWRIGHT_AVRDUDE")
	}
	return judge(o, kept.text())
}

// readable refuses a HEX file that is not there, before the programmer is touched.
func readable(path string) *report.Diagnostic {
	f, err := os.Open(path)
	if err != nil {
		return fail(IDNoHEX, "the HEX file %s cannot be read", path).do("make the job first, and name a file that it wrote")
	}
	f.Close()
	return nil
}

// tail keeps the last bytes that were written to it.
type tail struct{ kept []byte }

func (t *tail) Write(p []byte) (int, error) {
	t.kept = append(t.kept, p...)
	if over := len(t.kept) - tailBytes; over > 0 {
		t.kept = append(t.kept[:0], t.kept[over:]...)
	}
	return len(p), nil
}

func (t *tail) text() string { return string(t.kept) }
