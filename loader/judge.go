package loader

import (
	"fmt"
	"regexp"
	"strings"

	"lampwright/report"
)

// IDs of the diagnostics that Run and a Serial give.
const (
	IDNoAvrdude       = "load-no-avrdude" // avrdude is missing
	IDNoPermission    = "load-permission" // the port may not be opened by this user
	IDNoPort          = "load-no-port"    // the port or programmer is not there
	IDBusyPort        = "load-busy-port"  // another program holds the port
	IDProgrammer      = "load-programmer" // avrdude does not know the programmer
	IDNoAnswer        = "load-no-answer"  // programmer or chip do not answer
	IDWrongController = "load-wrong-chip" // another chip than an ATmega328P
	IDMismatch        = "load-mismatch"   // what was read back differs from what was written
	IDNoHEX           = "load-no-hex"     // the file to write is not there
	IDStopped         = "load-stopped"    // called off
	IDOther           = "load-other"      // anything else; the text quotes avrdude

	IDSilent    = "load-silent"     // nothing answers on the serial line
	IDNoise     = "load-noise"      // what comes over it is no answer
	IDPortLost  = "load-port-lost"  // the port went away
	IDWrongPair = "load-wrong-pair" // the module serves another lamp
	IDWrongCore = "load-wrong-core" // its core cannot run what is to be written
	IDShut      = "load-shut"       // it answers but does not enter
	IDOldLoader = "load-old-loader" // its loader guards other addresses
	IDNoLive    = "load-no-live"    // its image does not allow streamed light
)

// Lacks tells whether a diagnostic means that this machine lacks something, rather than that the module was touched.
func Lacks(id string) bool {
	switch id {
	case IDNoAvrdude, IDNoPermission, IDNoPort, IDBusyPort, IDProgrammer:
		return true
	}
	return false
}

// diagnostic lets a failure be built as a chain.
type diagnostic struct{ report.Diagnostic }

func fail(id, format string, args ...any) *diagnostic {
	return &diagnostic{report.Errorf(id, report.Place{}, format, args...)}
}

func (d *diagnostic) because(format string, args ...any) *diagnostic {
	d.Diagnostic = d.Because(format, args...)
	return d
}

func (d *diagnostic) do(format string, args ...any) *report.Diagnostic {
	out := d.Do(format, args...)
	return &out
}

// signature finds what the chip said it is, in any spelling that avrdude has used.
var signature = regexp.MustCompile(`(?i)device signature = (?:0x)?([0-9a-f]{2}) ?([0-9a-f]{2}) ?([0-9a-f]{2})`)

// relatives are chips that are easily taken for an ATmega328P. Source: avrdude's part descriptions.
var relatives = map[string]string{
	"1e9514": "an ATmega328 (without P)",
	"1e9516": "an ATmega328PB",
	"1e9406": "an ATmega168",
	"1e940b": "an ATmega168P",
	"1e930a": "an ATmega88",
	"1e930f": "an ATmega88P",
	"1e9801": "an ATmega2560",
	"1e9587": "an ATmega32U4",
}

// judge reads avrdude's own words after it failed. The first cause in the list that fits is the one to mend first.
func judge(o Options, said string) *report.Diagnostic {
	low := strings.ToLower(said)
	has := func(words ...string) bool {
		for _, w := range words {
			if strings.Contains(low, w) {
				return true
			}
		}
		return false
	}
	port := o.Port
	if port == "" {
		port = "the programmer " + o.chosen()
	}
	switch {
	case has("find programmer id", "programmer not found", "valid programmers are"):
		return fail(IDProgrammer, "avrdude knows no programmer %q", o.chosen()).
			do("run avrdude -c '?' to see the names it knows")
	case has("permission denied", "access denied", "operation not permitted", "insufficient permissions"):
		return fail(IDNoPermission, "you may not open %s", port).
			do("on Linux: for a serial port run sudo usermod -aG dialout $USER and log in again; for a USB programmer add a udev rule for it")
	case has("device or resource busy", "resource busy", "access is denied"):
		return fail(IDBusyPort, "another program holds %s", port).do("close it (a serial monitor, or another load), then load again")
	case has("find usb device", "no such file or directory", "the system cannot find", "no device present", "did not find any", "no such device"):
		if o.Port == "" {
			return fail(IDNoPort, "%s is not there", port).
				do("plug it into USB (Linux: lsusb shows it); for another programmer add --programmer, for a serial loader --port")
		}
		return fail(IDNoPort, "%s is not there", port).
			do("plug it in, then look for its port (Linux: ls /dev/ttyUSB* /dev/ttyACM*) and name it with --port")
	}
	if m := signature.FindStringSubmatch(said); m != nil {
		if d := otherChip(strings.ToLower(m[1] + m[2] + m[3])); d != nil {
			return d
		}
	}
	switch {
	case has("verification mismatch", "verification error", "content mismatch", "verification failed"):
		return fail(IDMismatch, "what the chip holds differs from what was written").
			because("a module with a damaged program must not be fitted").
			do("check the supply (4.5 V to 5.5 V) and the programming cable, then load again; if it differs again, replace the chip")
	case has("not in sync", "not responding", "initialization failed", "doesn't answer", "does not answer", "programmer enable", "timeout", "timed out"):
		return fail(IDNoAnswer, "the chip does not answer through %s", port).
			do("%s", noAnswer(o))
	}
	return fail(IDOther, "avrdude stopped: %s", lastWords(said)).do("read what it printed above, mend that, then load again")
}

func otherChip(code string) *report.Diagnostic {
	switch code {
	case "1e950f":
		return nil
	case "000000", "ffffff":
		return fail(IDNoAnswer, "no chip is heard: its signature reads %s", code).
			do("check that the module has supply, that the plug is not turned round and that the crystal is fitted")
	}
	name := relatives[code]
	if name == "" {
		name = "another chip"
	}
	return fail(IDWrongController, "the chip says %s: this is %s, and the program is for an ATmega328P", code, name).
		because("fuses and memory differ, so nothing was written").
		do("use a module with an ATmega328P")
}

// noAnswer is the next step when nothing answers; it depends on the way in.
func noAnswer(o Options) string {
	if known[o.chosen()].loader {
		return "check that the module has supply and carries a serial loader, and its speed (many older ones need --baud 57600); " +
			"a module without one needs a programmer on its six-pin header, such as --programmer " + DefaultUSB
	}
	return "check that the module has supply, that the six-pin plug is not turned round and that the crystal is fitted"
}

// lastWords is avrdude's last complaint, or its last line.
func lastWords(said string) string {
	lines := strings.FieldsFunc(said, func(r rune) bool { return r == '\n' || r == '\r' })
	last := ""
	for i := len(lines) - 1; i >= 0; i-- {
		line := strings.TrimSpace(lines[i])
		if strings.Contains(line, "error") {
			return quote(line)
		}
		if last == "" && !strings.Contains(line, "Thank you") {
			last = line
		}
	}
	if last == "" {
		return "it said nothing"
	}
	return quote(last)
}

func quote(line string) string {
	const most = 200 // runes
	if runes := []rune(line); len(runes) > most {
		line = string(runes[:most]) + "…"
	}
	return fmt.Sprintf("%q", line)
}
