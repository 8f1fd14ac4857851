package session

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"lampwright/report"
	"lampwright/source"
)

const plain = `lampwright: 1
job: {title: Small lamp, use: show-only}   # a comment that stays
lamps:
  lamp:
    place: {end: rear, side: LH, at: [0 mm, 0 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [70, 0], count: 8, group: 1, part: red-622}
`

// opened opens a desk on a job file of its own.
func opened(t testing.TB, text string, opt Options) (*Desk, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lamp.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	d, err := Open(path, opt)
	if err != nil {
		t.Fatal(err)
	}
	return d, path
}

func onDisk(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func title(to string) source.Edit { return source.Set(source.Path{"job", "title"}, to) }

func must(t *testing.T, list report.List) {
	t.Helper()
	if list.HasErrors() {
		t.Fatal(list.Error())
	}
}

func TestAChangeIsAFewLinesAndIsSaved(t *testing.T) {
	d, path := opened(t, plain, Options{})
	must(t, d.Apply(d.State().Revision, "title", title("Another")))
	want := strings.Replace(plain, "Small lamp", "Another", 1)
	if got := onDisk(t, path); got != want {
		t.Errorf("on disk:\n%s", got)
	}
	s := d.State()
	if !s.Saved || s.Undo != "title" || s.Redo != "" || s.Kit == nil || s.Kit.Title != "Another" {
		t.Errorf("state %+v", s)
	}
}

func TestUndoAndRedoOverARestart(t *testing.T) {
	steps := t.TempDir()
	d, path := opened(t, plain, Options{Steps: steps})
	for _, to := range []string{"One", "Two", "Three"} {
		must(t, d.Apply(d.State().Revision, "title "+to, title(to)))
	}
	must(t, d.Undo(d.State().Revision))
	again, err := Open(path, Options{Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	s := again.State()
	if s.Kit.Title != "Two" || s.Undo != "title Two" || s.Redo != "title Three" {
		t.Fatalf("after the restart: %q, undo %q, redo %q", s.Kit.Title, s.Undo, s.Redo)
	}
	must(t, again.Redo(s.Revision))
	for range 3 {
		must(t, again.Undo(again.State().Revision))
	}
	if got := onDisk(t, path); got != plain {
		t.Errorf("after all is undone:\n%s", got)
	}
	must(t, again.Undo(again.State().Revision)) // nothing left: nothing happens
	if again.State().Undo != "" || onDisk(t, path) != plain {
		t.Error("undo went past the first step")
	}
}

func TestAJournalThatDoesNotFitIsLeftOut(t *testing.T) {
	for name, spoil := range map[string]func(t *testing.T, path, journal string){
		"file changed while closed": func(t *testing.T, path, _ string) { write(t, path, plain+"# more\n") },
		"journal cut off":           func(t *testing.T, path, journal string) { write(t, journal, onDisk(t, journal)[:20]) },
		"journal gone":              func(t *testing.T, path, journal string) { os.Remove(journal) },
		"journal of nonsense":       func(t *testing.T, path, journal string) { write(t, journal, "{\"made\": 7}\n{]") },
	} {
		t.Run(name, func(t *testing.T) {
			steps := t.TempDir()
			d, path := opened(t, plain, Options{Steps: steps})
			must(t, d.Apply(d.State().Revision, "title", title("One")))
			spoil(t, path, d.journal.path)
			again, err := Open(path, Options{Steps: steps})
			if err != nil {
				t.Fatal(err)
			}
			if s := again.State(); s.Undo != "" || s.Redo != "" || s.Text != onDisk(t, path) {
				t.Errorf("undo %q, redo %q", s.Undo, s.Redo)
			}
			must(t, again.Apply(again.State().Revision, "title", title("Two")))
		})
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestAChangeInAnotherProgramBecomesAStep(t *testing.T) {
	d, path := opened(t, plain, Options{})
	base := d.State().Revision
	elsewhere := strings.Replace(plain, "Small lamp", "By hand", 1)
	write(t, path, elsewhere)

	list := d.Apply(base, "title", title("Mine"))
	if len(list) != 1 || list[0].ID != Stale {
		t.Fatalf("got %v", list)
	}
	s := d.State()
	if s.Kit.Title != "By hand" || s.Undo != labelElsewhere || !s.Saved {
		t.Fatalf("title %q, undo %q", s.Kit.Title, s.Undo)
	}
	must(t, d.Undo(s.Revision))
	if onDisk(t, path) != plain {
		t.Error("the change of the other program cannot be taken back")
	}
}

// No clock decides what is new: a change of another program is seen whatever time its file bears, and ours is saved whatever time it is.
func TestAClockThatJumpsLosesNothing(t *testing.T) {
	d, path := opened(t, plain, Options{})
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	for n, at := range []time.Time{info.ModTime(), info.ModTime().Add(-20 * 365 * 24 * time.Hour), info.ModTime().Add(20 * 365 * 24 * time.Hour)} {
		theirs := strings.Replace(plain, "Small lamp", fmt.Sprintf("Small lam%d", n), 1) // of the same size
		if err := errors.Join(os.WriteFile(path, []byte(theirs), 0o644), os.Chtimes(path, at, at)); err != nil {
			t.Fatal(err)
		}
		d.Look()
		if d.State().Text != theirs {
			t.Errorf("a file of %v is not taken over", at)
		}
		must(t, d.Apply(d.State().Revision, "title", title("Ours")))
		if ours := strings.Replace(plain, "Small lamp", "Ours", 1); onDisk(t, path) != ours || !d.State().Saved {
			t.Errorf("with a file of %v before, ours is not saved", at)
		}
		must(t, d.Undo(d.State().Revision))
	}
}

func TestAFileThatIsDeletedIsWrittenAgain(t *testing.T) {
	d, path := opened(t, plain, Options{})
	os.Remove(path)
	d.Look()
	if s := d.State(); s.Saved || s.Save == nil || s.Kit == nil {
		t.Fatalf("state after the deletion: saved %v", s.Saved)
	}
	d.Save()
	if s := d.State(); !s.Saved || s.Save != nil || onDisk(t, path) != plain {
		t.Errorf("after saving again: %+v", s.Save)
	}
}

func TestABrokenJobOpensAndIsMended(t *testing.T) {
	for name, broken := range map[string]string{
		"no YAML":      "job: {title: [\n",
		"unknown key":  plain + "colour: red\n",
		"unknown part": strings.Replace(plain, "red-622", "red-999", 1),
	} {
		t.Run(name, func(t *testing.T) {
			d, path := opened(t, broken, Options{})
			s := d.State()
			if s.Kit != nil || !s.Problems.HasErrors() || s.Text != broken {
				t.Fatal("opened as if it were whole")
			}
			if s.Problems[0].Place.Line == 0 {
				t.Errorf("a problem without a place: %v", s.Problems[0])
			}
			if list := d.SetText(s.Revision, "a: ["); !list.HasErrors() || onDisk(t, path) != broken {
				t.Fatal("took a text that is no YAML")
			}
			must(t, d.SetText(s.Revision, plain))
			if d.State().Kit == nil || onDisk(t, path) != plain {
				t.Error("not mended")
			}
		})
	}
}

func TestTheGoodPartOfABrokenJobIsSeen(t *testing.T) {
	for name, c := range map[string]struct{ from, to string }{
		"unknown key in a routine": {"full: {strokes", "full: {strocks"},
		"unknown lamp in takes":    {"takes: tail-lh.block", "takes: tail-xx.block"},
		"no unit":                  {"length: 150 ms", "length: 150"},
		"wrong board":              {"board: chain-16", "board: chain-17"},
		"unknown key at the top":   {"inputs:", "inpots:"},
	} {
		d, _ := opened(t, strings.Replace(oneSide, c.from, c.to, 1), Options{})
		s := d.State()
		if s.Kit != nil || !s.Problems.HasErrors() {
			t.Fatalf("%s: not broken", name)
		}
		if s.Seen == nil || len(s.Seen.Lamps) != 1 || len(s.Seen.Lamps[0].LEDs) != 16 || s.Seen.Title != "One side" {
			t.Errorf("%s: the lamp is not seen", name)
		}
	}
}

func TestNoEditOfATextThatCannotBeRead(t *testing.T) {
	d, _ := opened(t, "job: [", Options{})
	if list := d.Apply(d.State().Revision, "title", title("x")); !list.HasErrors() {
		t.Error("an edit of a broken text was taken")
	}
}

// failingDisk fails at its nth call, as a disk that is full, gone or protected does.
type failingDisk struct {
	source.Disk
	left int
	err  error
}

func (f *failingDisk) fails() bool { f.left--; return f.left == 0 }
func (f *failingDisk) Stat(p string) (fs.FileInfo, error) {
	if f.fails() {
		return nil, f.err
	}
	return f.Disk.Stat(p)
}
func (f *failingDisk) ReadFile(p string) ([]byte, error) {
	if f.fails() {
		return nil, f.err
	}
	return f.Disk.ReadFile(p)
}
func (f *failingDisk) Rename(a, b string) error {
	if f.fails() {
		return f.err
	}
	return f.Disk.Rename(a, b)
}
func (f *failingDisk) SyncFolder(p string) error {
	if f.fails() {
		return f.err
	}
	return f.Disk.SyncFolder(p)
}
func (f *failingDisk) CreateTemp(folder, pattern string) (source.DiskFile, error) {
	if f.fails() {
		return nil, f.err
	}
	file, err := f.Disk.CreateTemp(folder, pattern)
	return &failingFile{file, f}, err
}

type failingFile struct {
	source.DiskFile
	disk *failingDisk
}

func (f *failingFile) WriteString(text string) (int, error) {
	if f.disk.fails() {
		n, _ := f.DiskFile.WriteString(text[:len(text)/2])
		return n, f.disk.err
	}
	return f.DiskFile.WriteString(text)
}
func (f *failingFile) Chmod(m fs.FileMode) error {
	if f.disk.fails() {
		return f.disk.err
	}
	return f.DiskFile.Chmod(m)
}
func (f *failingFile) Sync() error {
	if f.disk.fails() {
		return f.disk.err
	}
	return f.DiskFile.Sync()
}
func (f *failingFile) Close() error {
	err := f.DiskFile.Close()
	if f.disk.fails() {
		return f.disk.err
	}
	return err
}

// Whatever call of a save fails: the disk holds the old or the new text as a whole, the window still has the new one, says
// that it is not saved, and saves it when the disk is well again.
func TestASaveThatFailsAnywhereLosesNothing(t *testing.T) {
	for _, cause := range []error{syscall.ENOSPC, fs.ErrPermission, errors.New("unplugged")} {
		reached := false
		for n := 1; !reached; n++ {
			if n > 50 {
				t.Fatal("a save takes more than 50 calls?")
			}
			d, path := opened(t, plain, Options{})
			broken := &failingDisk{source.TheDisk, n, cause}
			d.disk = broken
			list := d.Apply(d.State().Revision, "title", title("New"))
			reached = broken.left > 0 // this save needed fewer calls
			d.disk = source.TheDisk
			want := strings.Replace(plain, "Small lamp", "New", 1)
			if got := onDisk(t, path); got != plain && got != want {
				t.Fatalf("call %d: half a file:\n%s", n, got)
			}
			if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".lamp.yaml.*")); len(left) > 0 && !reached {
				t.Errorf("call %d: left behind %v", n, left)
			}
			s := d.State()
			if !list.HasErrors() && s.Text != want {
				t.Fatalf("call %d: the change is lost", n)
			}
			if !s.Saved && (s.Save == nil || s.Save.Next == "") {
				t.Errorf("call %d: unsaved, and not a word", n)
			}
			d.Save()
			if s := d.State(); !s.Saved || onDisk(t, path) != s.Text {
				t.Errorf("call %d: not saved when the disk was well again: %v", n, s.Save)
			}
		}
	}
}

func TestWatchTellsOfChanges(t *testing.T) {
	d, path := opened(t, plain, Options{})
	changed, stop := d.Watch()
	write(t, path, strings.Replace(plain, "Small", "Large", 1))
	d.Look()
	<-changed
	must(t, d.Apply(d.State().Revision, "title", title("One")))
	must(t, d.Apply(d.State().Revision, "title", title("Two")))
	<-changed
	stop()
	must(t, d.Apply(d.State().Revision, "title", title("Three")))
	select {
	case <-changed:
		t.Error("told after it was closed")
	default:
	}
}
