package session

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lampwright/job"
)

// scribble is set in the process that is killed: the job file that it changes for ever.
const scribble = "LAMPWRIGHT_TEST_SCRIBBLE"

func TestMain(m *testing.M) {
	path := os.Getenv(scribble)
	if path == "" {
		os.Exit(m.Run())
	}
	d, err := Open(path, Options{Steps: filepath.Dir(path)})
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	for n := 0; ; n++ {
		if list := d.Apply(d.State().Revision, "title", title(fmt.Sprintf("Title %d", n))); list.HasErrors() || !d.State().Saved {
			fmt.Println("failed:", list, d.State().Save)
			os.Exit(1)
		}
		fmt.Println(n)
	}
}

// A process that saves again and again is killed 200 times at any moment: each time the file is a whole job, no older than the last
// save that was reported, and can be opened and undone.
func TestKilledAtAnyMoment(t *testing.T) {
	if testing.Short() {
		t.Skip("200 processes")
	}
	path := filepath.Join(t.TempDir(), "lamp.yaml")
	write(t, path, plain)
	for kill := range 200 {
		c := exec.Command(os.Args[0])
		c.Env = append(os.Environ(), scribble+"="+path)
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		last := -1
		if lines.Scan() {
			fmt.Sscan(lines.Text(), &last)
		}
		time.AfterFunc(time.Duration(rand.IntN(8000))*time.Microsecond, func() { c.Process.Kill() })
		for lines.Scan() {
			if strings.HasPrefix(lines.Text(), "failed") {
				t.Fatal(lines.Text())
			}
			fmt.Sscan(lines.Text(), &last)
		}
		c.Wait()
		doc, list := job.Parse(path, []byte(onDisk(t, path)))
		if doc == nil || list.HasErrors() {
			t.Fatalf("kill %d left:\n%s", kill, onDisk(t, path))
		}
		var is int
		if _, err := fmt.Sscanf(doc.Job.Title, "Title %d", &is); err != nil || is < last || is > last+1 {
			t.Fatalf("kill %d: the last save was reported as %d, and the disk holds %q", kill, last, doc.Job.Title)
		}
		d, err := Open(path, Options{Steps: filepath.Dir(path)})
		if err != nil {
			t.Fatal(err)
		}
		if d.State().Undo == "" {
			t.Errorf("kill %d: nothing can be undone", kill)
		}
	}
}
