package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
)

// node gives the path of Node, which only tests use. Where it is missing they cannot run; on the machines that judge changes
// that is a failure.
func node(t *testing.T, program string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is missing", program)
	}
	t.Skipf("%s is missing, so this is not checked here", program)
	return ""
}

func run(t *testing.T, folder, name string, args ...string) {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Dir = folder
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%s %s: %v\n%s", filepath.Base(name), strings.Join(args, " "), err, out)
	}
}

// The TypeScript compiler finds nothing to say. It comes from npm at the version and checksum of the lock file.
func TestTypes(t *testing.T) {
	npm := node(t, "npm")
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	lock, err := os.ReadFile("types/package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	tools := filepath.Join(cache, "lampwright-types")
	if have, err := os.ReadFile(filepath.Join(tools, "package-lock.json")); err != nil || string(have) != string(lock) {
		if err := os.MkdirAll(tools, 0o755); err != nil {
			t.Fatal(err)
		}
		copyInto(t, tools, "types/package.json")
		copyInto(t, tools, "types/package-lock.json")
		run(t, tools, npm, "ci", "--no-audit", "--no-fund", "--ignore-scripts")
	}
	src, err := filepath.Abs(filepath.Join(web, "src"))
	if err != nil {
		t.Fatal(err)
	}
	run(t, src, node(t, "node"), filepath.Join(tools, "node_modules", "typescript", "bin", "tsc"), "--noEmit", "-p", src)
}

func copyInto(t *testing.T, folder, file string) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, filepath.Base(file)), data, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// The tests of the front end itself, bundled as the page is and run by Node.
func TestFrontEnd(t *testing.T) {
	runner := node(t, "node")
	files, err := filepath.Glob(filepath.Join(web, "src", "*", "*.test.ts"))
	if err != nil {
		t.Fatal(err)
	}
	deeper, err := filepath.Glob(filepath.Join(web, "src", "*", "*", "*.test.ts"))
	if err != nil {
		t.Fatal(err)
	}
	if files = append(files, deeper...); len(files) < 4 {
		t.Fatalf("only %d tests found: the search is broken", len(files))
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			vendor, err := filepath.Abs(filepath.Join(web, "vendor"))
			if err != nil {
				t.Fatal(err)
			}
			result := api.Build(api.BuildOptions{
				EntryPoints: []string{file}, Bundle: true, Write: false, Format: api.FormatESModule, Target: api.ES2022, Platform: api.PlatformNeutral,
				External: []string{"node:*"}, NodePaths: []string{vendor}, JSX: api.JSXAutomatic, JSXImportSource: "preact", Charset: api.CharsetUTF8,
			})
			if len(result.Errors) > 0 {
				t.Fatal(strings.Join(api.FormatMessages(result.Errors, api.FormatMessagesOptions{}), "\n"))
			}
			folder := t.TempDir()
			if err := os.WriteFile(filepath.Join(folder, "it.test.mjs"), result.OutputFiles[0].Contents, 0o644); err != nil {
				t.Fatal(err)
			}
			run(t, folder, runner, "--test", "--test-reporter=spec", "it.test.mjs")
		})
	}
}
