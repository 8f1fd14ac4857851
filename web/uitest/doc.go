// Package uitest drives the workbench in a real browser, with mouse and keyboard, and looks at the job file on the disk afterwards;
// Speed measures it there.
//
// The tests: one file a place, the whole job, and the pictures. Without Chromium they are skipped, but fail where CI is set. Not
// promised: other browsers.
package uitest

import "os/exec"

// Chromium gives the path of the browser, or "".
func Chromium() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}
