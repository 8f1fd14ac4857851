package loader

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestMain lets the test program stand in for avrdude: with LOADER_FAKE set it prints that text, notes its arguments in the
// file LOADER_ARGS and ends with the status LOADER_STATUS.
func TestMain(m *testing.M) {
	if said, fake := os.LookupEnv("LOADER_FAKE"); fake {
		fmt.Fprint(os.Stderr, said)
		if path := os.Getenv("LOADER_ARGS"); path != "" {
			if os.WriteFile(path, []byte(strings.Join(os.Args[1:], "\n")), 0o644) != nil {
				os.Exit(99)
			}
		}
		if os.Getenv("LOADER_STATUS") == "wait" {
			time.Sleep(time.Minute)
		}
		if os.Getenv("LOADER_STATUS") == "1" {
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func TestCommand(t *testing.T) {
	fuses := " -U lfuse:w:0xD7:m -U hfuse:w:0xDB:m -U efuse:w:0xFC:m"
	for _, c := range []struct {
		options Options
		want    string
	}{
		{Options{HEX: "a.hex"}, "avrdude -p m328p -c usbasp -B 10 -U flash:w:a.hex:i" + fuses},
		{Options{HEX: "a.hex", Port: "usb"}, "avrdude -p m328p -c usbasp -P usb -B 10 -U flash:w:a.hex:i" + fuses},
		{Options{HEX: "a.hex", Port: "/dev/ttyUSB0"}, "avrdude -p m328p -c arduino -P /dev/ttyUSB0 -D -U flash:w:a.hex:i"},
		{Options{HEX: "a.hex", Port: "COM3", Baud: 57600}, "avrdude -p m328p -c arduino -P COM3 -b 57600 -D -U flash:w:a.hex:i"},
		{Options{HEX: "a b.hex", Port: "/dev/ttyACM0", Programmer: "stk500v1"},
			"avrdude -p m328p -c stk500v1 -P /dev/ttyACM0 -U 'flash:w:a b.hex:i'" + fuses},
		{Options{HEX: "it's.hex", NoFuses: true, Program: "/opt/avrdude"}, `/opt/avrdude -p m328p -c usbasp -B 10 -U 'flash:w:it'\''s.hex:i'`},
	} {
		if got := Line(c.options.Command()); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// The brown-out fuse against the data sheet's table of BODLEVEL fuse codings (ATmega328P, system and reset
// characteristics): 111 none, 110 1.8 V, 101 2.7 V, 100 4.3 V.
func TestFusesSayWhatTheirCommentsSay(t *testing.T) {
	if got := map[byte]string{7: "none", 6: "1.8 V", 5: "2.7 V", 4: "4.3 V"}[ExtendedFuse&7]; got != BrownOut {
		t.Errorf("brown-out at %s", got)
	}
	bit := func(value byte, n int) bool { return value>>n&1 == 0 } // programmed
	if bit(LowFuse, 7) || bit(LowFuse, 6) || LowFuse&0x0F != 0x7 || LowFuse>>4&3 != 1 {
		t.Error("the low fuse is not a full swing crystal with brown-out detection")
	}
	for n, want := range map[int]bool{0: false, 1: false, 2: true, 3: false, 4: false, 5: true, 6: false, 7: false} {
		if bit(HighFuse, n) != want {
			t.Errorf("bit %d of the high fuse is wrong", n)
		}
	}
}

func TestRunPassesProgressThrough(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.hex")
	if err := os.WriteFile(path, []byte(":00000001FF\r\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	args := filepath.Join(t.TempDir(), "args")
	t.Setenv("LOADER_FAKE", "Writing | ### | 100%\n")
	t.Setenv("LOADER_ARGS", args)
	o := Options{HEX: path, Program: os.Args[0], Port: "/dev/ttyUSB0"}
	var out bytes.Buffer
	if d := Run(context.Background(), o, &out); d != nil {
		t.Fatal(d)
	}
	if out.String() != "Writing | ### | 100%\n" {
		t.Errorf("progress %q", out.String())
	}
	got, err := os.ReadFile(args)
	if err != nil || string(got) != strings.Join(o.Command()[1:], "\n") {
		t.Errorf("%v %q", err, got)
	}
}

func TestRunStops(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.hex")
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	t.Setenv("LOADER_FAKE", "started")
	t.Setenv("LOADER_STATUS", "wait")
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	d := Run(ctx, Options{HEX: path, Program: os.Args[0]}, writer(func([]byte) { cancel() }))
	if d == nil || d.ID != IDStopped || !strings.Contains(d.Next, "load the module again") {
		t.Errorf("%+v", d)
	}
}

type writer func([]byte)

func (w writer) Write(p []byte) (int, error) { w(p); return len(p), nil }

// Messages of avrdude 6.3 to 8.0, quoted from memory except where a comment says "seen".
func TestJudge(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.hex")
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	t.Setenv("LOADER_STATUS", "1")
	for _, c := range []struct {
		said, id, says, next string
	}{
		// seen, 7.1
		{"avrdude OS error: cannot open port /dev/ttyUSB0: Permission denied", IDNoPermission, "/dev/ttyUSB0", "dialout"},
		{"avrdude: ser_open(): can't open device \"/dev/ttyUSB0\": Permission denied", IDNoPermission, "/dev/ttyUSB0", "dialout"},
		{"avrdude error: cannot open port /dev/ttyUSB0: Device or resource busy", IDBusyPort, "another program", "close it"},
		{"avrdude: ser_open(): can't open device \"\\\\.\\COM3\": Access is denied.", IDBusyPort, "another program", "close it"},
		// seen, 7.1
		{"avrdude error: cannot find USB device with vid=0x16c0 pid=0x5dc vendor='www.fischl.de' product='USBasp'", IDNoPort, "is not there", "--port"},
		{"avrdude: Device signature = 0x1e9514 (probably m328)\navrdude: Expected signature for ATmega328P is 1E 95 0F", IDWrongController, "without P", "ATmega328P"},
		{"avrdude: Device signature = 1E 95 14 (ATmega328, ATA6614Q)\nExpected signature for ATmega328P is 1E 95 0F", IDWrongController, "without P", "ATmega328P"},
		{"avrdude: Device signature = 0xffffff\navrdude error: invalid device signature", IDNoAnswer, "no chip is heard", "supply"},
		{"avrdude: Device signature = 0x123456", IDWrongController, "another chip", "ATmega328P"},
		{"avrdude: stk500_getsync() attempt 10 of 10: not in sync: resp=0x00", IDNoAnswer, "does not answer", "--baud 57600"},
		{"avrdude: initialization failed, rc=-1\nDouble check connections", IDNoAnswer, "does not answer", "serial loader"},
		{"avrdude: Device signature = 0x1e950f\nerror: verification error, first mismatch at byte 0x0002", IDMismatch, "differs", "supply"},
		{"something new went wrong\n\navrdude done.  Thank you.\n", IDOther, `"something new went wrong"`, "load again"},
		{"avrdude error: odd thing\nmore\n", IDOther, `"avrdude error: odd thing"`, "load again"},
		{"", IDOther, "it said nothing", "load again"},
		{strings.Repeat("x", tailBytes+1000) + "\nfirst mismatch: verification error\n", IDMismatch, "differs", "supply"},
	} {
		t.Setenv("LOADER_FAKE", c.said)
		d := Run(context.Background(), Options{HEX: path, Program: os.Args[0], Port: "/dev/ttyUSB0"}, &bytes.Buffer{})
		if d == nil || d.ID != c.id || !strings.Contains(d.Text, c.says) || !strings.Contains(d.Next, c.next) {
			t.Errorf("%.80q: %+v", c.said, d)
		}
	}
	t.Setenv("LOADER_FAKE", "not in sync")
	d := Run(context.Background(), Options{HEX: path, Program: os.Args[0]}, &bytes.Buffer{})
	if d == nil || strings.Contains(d.Next, "--baud") || !strings.Contains(d.Text, "the programmer usbasp") {
		t.Errorf("a programmer's next step speaks of a serial loader: %+v", d)
	}
}
