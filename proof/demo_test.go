package proof_test

import (
	"testing"
	"time"
)

func TestDemoJob(t *testing.T) {
	k, r := job(t, "../examples/pickup/pickup.yaml")
	proven(t, k, r, "tail@100ms..5s stop@800ms..2500ms turn-lh@1s..4s~90/min:50%!4ms remote-1@200ms..6s", 6*time.Second)
}
