// Command webbuild makes web/dist, the front end that is embedded, from web/src and web/vendor: go generate ./web
//
// It bundles with esbuild's Go API, so that building needs no Node, and lives here so that esbuild stays out of the tool.
// The same sources give the same bytes. Not promised: type checks, which a test does with the TypeScript compiler.
package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// copied are the sources that go into the page as they are.
var copied = []string{"index.html", "favicon.svg"}

// build gives the files of web/dist by name, from the folder web.
func build(web string) (map[string][]byte, error) {
	src, err := filepath.Abs(filepath.Join(web, "src"))
	if err != nil {
		return nil, err
	}
	vendor, err := filepath.Abs(filepath.Join(web, "vendor"))
	if err != nil {
		return nil, err
	}
	result := api.Build(api.BuildOptions{
		EntryPointsAdvanced: []api.EntryPoint{{InputPath: filepath.Join(src, "main.tsx"), OutputPath: "app"}},
		AbsWorkingDir:       src,
		Outdir:              filepath.Join(src, "built"), // names alone; nothing is written here
		NodePaths:           []string{vendor},
		Platform:            api.PlatformNeutral,
		Bundle:              true,
		Format:              api.FormatESModule,
		Target:              api.ES2022,
		JSX:                 api.JSXAutomatic,
		JSXImportSource:     "preact",
		MinifySyntax:        true,
		MinifyWhitespace:    true,
		MinifyIdentifiers:   true,
		LegalComments:       api.LegalCommentsEndOfFile,
		Charset:             api.CharsetUTF8,
		AssetNames:          "[name]",
		Loader:              map[string]api.Loader{".woff2": api.LoaderFile},
		LogLevel:            api.LogLevelSilent,
	})
	if len(result.Errors)+len(result.Warnings) > 0 {
		texts := api.FormatMessages(append(result.Errors, result.Warnings...), api.FormatMessagesOptions{Kind: api.ErrorMessage})
		return nil, errors.New(strings.TrimSpace(strings.Join(texts, "\n")))
	}
	files := map[string][]byte{}
	for _, f := range result.OutputFiles {
		files[filepath.Base(f.Path)] = f.Contents
	}
	for _, name := range copied {
		if files[name], err = os.ReadFile(filepath.Join(src, name)); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// write makes a folder hold exactly the files.
func write(folder string, files map[string][]byte) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	old, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	for _, e := range old {
		if files[e.Name()] == nil {
			if err := os.RemoveAll(filepath.Join(folder, e.Name())); err != nil {
				return err
			}
		}
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func main() {
	web, err := folder()
	if err == nil {
		var files map[string][]byte
		if files, err = build(web); err == nil {
			err = write(filepath.Join(web, "dist"), files)
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "webbuild:", err)
		os.Exit(1)
	}
}

// folder finds the folder web from the one that the command runs in, or from one above it.
func folder() (string, error) {
	at, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(at, "go.mod")); err == nil {
			return filepath.Join(at, "web"), nil
		}
		up := filepath.Dir(at)
		if up == at {
			return "", errors.New("no go.mod here or above; run it within the repository")
		}
		at = up
	}
}
