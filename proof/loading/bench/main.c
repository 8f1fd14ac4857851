// The bench obeys one line of standard input after the other and answers each with one line. Times are microseconds.
//   flash AT HEX      bytes of the flash, AT hexadecimal
//   power 0|1         the supply
//   in N 0|1          an input, 0-based
//   send HEX          bytes for the adapter to send, behind what it still has to send
//   break US          the line is pulled low so long
//   baud BPS          the adapter's true speed
//   run US            lets time pass
//   get US            lets time pass until the adapter has bytes and they have paused, so long at most: the bytes
//   cut N PERMILLE    takes the supply away in the N-th erasing or writing from now, at that share of its time
//   later US N 0|1    an input, after so long
//   during OP US N    an input goes on so long after the OP-th erasing or writing from now began
//   slow 0|1          erasing and writing take the longest time of the data sheet
//   dump AT N         bytes of the flash
//   watch HEX         outputs to watch
//   light US          lets time pass: the share of it that each output shone, in millionths
//   longest           the longest interrupt that read the inputs since the last time, cycles
//   state             powered (2: asleep), time, erasings and writings, restarts, overruns, lowest and highest page touched, faults,
//                     microseconds that the watched outputs have been in every word, or -1, presses of later and during,
//                     the longest from one to the watched outputs, the first fault
#include <stdlib.h>
#include <string.h>
#include <stdarg.h>
#include "bench.h"

static int faults;
static char first_fault[200];

void fault(const char *what) {
	if (!faults++) snprintf(first_fault, sizeof first_fault, "%s, pc %04x, %.3f ms", what, powered ? avr->pc : 0, now() / 16000.0);
}

static cycles_t cycles(const char *us) { return strtod(us, NULL) * (CLOCK_HZ / 1000000); }
static int unhex(const char *text, uint8_t *out, int most) {
	int n = 0;
	for (unsigned b; n < most && sscanf(text, "%2x", &b) == 1; text += 2) out[n++] = b;
	return n;
}
static void hex(const uint8_t *b, int n) { for (int i = 0; i < n; i++) printf("%02x", b[i]); }

int main(int argc, char **argv) {
	static char line[1 << 18];
	static uint8_t bytes[1 << 17];
	kind = argc > 1 && !strcmp(argv[1], "pins") ? PINS : CHAIN;
	module_make();
	while (fgets(line, sizeof line, stdin)) {
		char *word = strtok(line, " \n"), *a = strtok(NULL, " \n"), *b = strtok(NULL, " \n"), *c = strtok(NULL, " \n");
		if (!word) continue;
		if (!a) a = "0";
		if (!b) b = "0";
		if (!c) c = "0";
		if (!strcmp(word, "flash")) {
			unsigned at = strtoul(a, NULL, 16);
			int n = unhex(b, bytes, sizeof bytes);
			if (at + n <= FLASH_BYTES) memcpy(avr->flash + at, bytes, n);
		} else if (!strcmp(word, "power")) module_power(atoi(a));
		else if (!strcmp(word, "in")) module_input(atoi(a), atoi(b));
		else if (!strcmp(word, "send")) line_send(bytes, unhex(a, bytes, sizeof bytes));
		else if (!strcmp(word, "break")) line_break(cycles(a));
		else if (!strcmp(word, "baud")) line_baud(strtod(a, NULL));
		else if (!strcmp(word, "run")) module_run_until(now() + cycles(a));
		else if (!strcmp(word, "cut")) flash_cut(atoi(a), atoi(b) / 1000.0);
		else if (!strcmp(word, "later")) module_later(now() + cycles(a), atoi(b), atoi(c));
		else if (!strcmp(word, "during")) flash_press(atoi(a), cycles(b), atoi(c));
		else if (!strcmp(word, "slow")) slow = atoi(a);
		else if (!strcmp(word, "watch")) { watched = strtoull(a, NULL, 16); watched_since = watched && (lit_word & watched) == watched ? now() : 0; }
		else if (!strcmp(word, "dump")) { unsigned at = strtoul(a, NULL, 16), n = atoi(b); if (at + n <= FLASH_BYTES) hex(avr->flash + at, n); }
		else if (!strcmp(word, "longest")) { printf("%llu", (unsigned long long)longest); longest = 0; }
		else if (!strcmp(word, "get")) {
			cycles_t until = now() + cycles(a), step = CLOCK_HZ / 4000, pause = CLOCK_HZ / 1000;   // 0.25 ms, 1 ms
			while (now() < until && !(line_pending() && now() > line_last() + pause)) module_run_until(now() + step < until ? now() + step : until);
			hex(bytes, line_received(bytes, sizeof bytes));
		} else if (!strcmp(word, "light")) {
			cycles_t was[OUTPUTS], from = now();
			light_account();
			memcpy(was, on_time, sizeof was);
			module_run_until(from + cycles(a));
			light_account();
			for (int o = 0; o < OUTPUTS; o++) printf("%s%.0f", o ? " " : "", (on_time[o] - was[o]) * 1e6 / (now() - from));
		} else if (!strcmp(word, "state")) {
			printf("%d %.3f %d %d %d %x %x %d %.3f %d %.3f %s", powered + asleep(), now() / 16.0, operations, resets, overruns, touched_low, touched_high, faults,
				watched_since ? (now() - watched_since) / 16.0 : -1.0, presses, latency / 16.0, first_fault);
		} else { fprintf(stderr, "no such command: %s\n", word); return 2; }
		putchar('\n');
		fflush(stdout);
	}
	return 0;
}
