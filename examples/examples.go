// Package examples holds the jobs that come with the tool, for reading, trying and testing. All vehicles in them are invented.
package examples

import _ "embed"

// Pickup is the demo job: a pickup with animated lamps at both ends.
//
//go:embed pickup/pickup.yaml
var Pickup []byte
