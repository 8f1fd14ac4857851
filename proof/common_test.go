package proof_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"lampwright/proof"
)

// The compiled bench and firmware are shared by all tests of one run.
var sharedDir string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "lampwright-proof-test-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	sharedDir = dir
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

var firmwareLock sync.Mutex

// firmware compiles testdata/name.c for the controller and gives its HEX text.
func firmware(t testing.TB, name string, defines ...string) []byte {
	t.Helper()
	firmwareLock.Lock()
	defer firmwareLock.Unlock()
	base := filepath.Join(sharedDir, fmt.Sprint(name, defines))
	hex := base + ".hex"
	if _, err := os.Stat(hex); err != nil {
		tool(t, "avr-gcc", append([]string{"-mmcu=atmega328p", "-DF_CPU=16000000UL", "-Os", "-std=gnu99", "-Wall", "-o", base + ".elf", "testdata/" + name + ".c"}, defines...)...)
		tool(t, "avr-objcopy", "-O", "ihex", base+".elf", hex)
	}
	text, err := os.ReadFile(hex)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func tool(t testing.TB, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s\nnext: apt-get install -y gcc-avr avr-libc binutils-avr", name, err, out)
	}
	return string(out)
}

func chain(t testing.TB) proof.Module {
	return proof.Module{Name: "chain", HEX: firmware(t, "chain"), Kind: proof.Chain, Registers: 4}
}

func pins(t testing.TB) proof.Module {
	return proof.Module{Name: "pins", HEX: firmware(t, "pins"), Kind: proof.Pins}
}

// setup never skips: a machine that cannot prove must fail the test.
func setup(length time.Duration, modules []proof.Module, events ...proof.Event) proof.Setup {
	return proof.Setup{Modules: modules, Events: events, Length: length, Cache: sharedDir}
}

func mustRun(t *testing.T, s proof.Setup) *proof.Log {
	t.Helper()
	log, err := proof.Run(context.Background(), s)
	var missing *proof.NotProven
	if errors.As(err, &missing) {
		t.Fatalf("this machine must be able to prove: %v", missing)
	}
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func list(m ...proof.Module) []proof.Module { return m }

const ms = time.Millisecond
const us = time.Microsecond
