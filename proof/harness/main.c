// The setup text, read from standard input; one statement a line, times in microseconds, '#' begins a comment:
//
//   length <us>
//   module <chain|pins> <registers> <clock error ppm> <power-on us> <HEX file, to the end of the line>
//   window <from us> <to us>
//   <us> <module> in<1..8> <0|1>              input level
//   <us> <module> flash <address> xor <byte>  damage
//   <us> <module> flash <address> word <word> write, low byte first
//   <us> <module> reset                       external reset
//   <us> <module> power <0|1>
//   <us> <module> link <joined|open>          this module's end of the link wire
//   <us> <module> supply <code>               what the converter gives at the sense pin, 0..255; at first 0x79
//   <us> <module> heat <code>                 and at the heat pin; at first 0xff
//   <us> <module> strap <missing|lh|rh|both>  of the plug; at first missing
//   <us> <module> memory <hex>                EEPROM from its first byte on; at first erased
//   <us> <module> serial <hex>                bytes sent to it at 19 200 baud, beginning at that time; up to 140
//   <us> wire link <free|low|supply>          the wire itself
//   variant                                   what follows belongs to one variant of a sweep
//
// Without a variant the full stream is written, with variants one summary each. Options: -text, -jobs <n>.
#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include "harness.h"

enum { BAUD = 19200 };

int bench_out = 1;
static int line_no;

void die(const char *fmt, ...) {
	va_list ap; va_start(ap, fmt);
	if (line_no) fprintf(stderr, "setup line %d: ", line_no);
	vfprintf(stderr, fmt, ap); fputc('\n', stderr);
	va_end(ap);
	_exit(2);
}
static void silent(avr_t *a, const int level, const char *fmt, va_list ap) { (void)a; (void)level; (void)fmt; (void)ap; }

static fs_t us(double v) {
	if (!(v >= 0 && v <= 7.2e9)) die("time %g us is not within 0 and two hours", v);
	return v * FS_PER_US + 0.5;
}

static int hex_byte(const char *p) {
	int v = 0;
	for (int i = 0; i < 2; i++) {
		char c = p[i];
		int d = c >= '0' && c <= '9' ? c - '0' : c >= 'A' && c <= 'F' ? c - 'A' + 10 : c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
		if (d < 0) return -1;
		v = v << 4 | d;
	}
	return v;
}
// libsimavr's own reader keeps only the last run of a file with gaps; this one fills gaps like erased flash.
static void read_hex(const char *path, uint8_t *flash) {
	char line[600];
	uint32_t high = 0;
	int n = 0, ended = 0;
	FILE *f = fopen(path, "r");
	if (!f) die("%s: %s", path, strerror(errno));
	memset(flash, 0xff, FLASH_BYTES);
	while (!ended && fgets(line, sizeof line, f)) {
		uint8_t rec[260], sum = 0;
		int len = 0, size = strcspn(line, "\r\n");
		n++;
		if (!size) continue;
		if (line[0] != ':' || size % 2 == 0 || size < 11 || size > 521) die("%s line %d: not a record", path, n);
		for (int i = 1; i < size; i += 2) {
			int v = hex_byte(line + i);
			if (v < 0) die("%s line %d: not a hexadecimal digit", path, n);
			sum += rec[len++] = v;
		}
		if (sum || rec[0] != len - 5) die("%s line %d: damaged record", path, n);
		uint32_t at = high + (rec[1] << 8 | rec[2]);
		switch (rec[3]) {
		case 0: if (at + rec[0] > FLASH_BYTES) die("%s line %d: beyond the flash", path, n);
			memcpy(flash + at, rec + 4, rec[0]); break;
		case 1: ended = 1; break;
		case 2: high = (rec[4] << 8 | rec[5]) << 4; break;
		case 4: high = (uint32_t)(rec[4] << 8 | rec[5]) << 16; break;
		}
	}
	fclose(f);
	if (!ended) die("%s: no end record", path);
}

static void add_module(const char *s) {
	char kind[8];
	int registers, at = 0;
	double ppm, on;
	static uint8_t flash[FLASH_BYTES];
	if (sscanf(s, "module %7s %d %lf %lf %n", kind, &registers, &ppm, &on, &at) != 4 || !at) die("cannot read the module");
	if (bench.modules == MODULES_MAX) die("more than %d modules", MODULES_MAX);
	int pins = !strcmp(kind, "pins");
	if (!pins && strcmp(kind, "chain")) die("kind %s is neither chain nor pins", kind);
	if (registers < 1 || registers > REGISTERS_MAX) die("%d registers are not within 1 and %d", registers, REGISTERS_MAX);
	if (!(ppm > -200000 && ppm < 200000)) die("clock error %g ppm is not within 200 000", ppm);
	read_hex(s + at, flash);
	module_make(&bench.module[bench.modules], pins ? PINS : CHAIN, registers, ppm, us(on), flash);
	bench.modules++;
}

static int read_event(const char *s, event_t *e) {
	double t;
	char who[8], what[8], how[8];
	unsigned a, b;
	int n = 0;
	if (sscanf(s, "%lf %7s %n", &t, who, &n) != 2 || !n) return 0;
	const char *rest = s + n;
	e->at = us(t); e->order = line_no; e->a = e->b = 0; e->rank = 2;
	if (!strcmp(who, "wire")) {
		if (sscanf(rest, "link %7s", how) != 1) return 0;
		e->module = -1; e->what = EV_WIRE;
		e->a = !strcmp(how, "low") ? WIRE_LOW : !strcmp(how, "supply") ? WIRE_SUPPLY : WIRE_FREE;
		return e->a != WIRE_FREE || !strcmp(how, "free");
	}
	e->module = atoi(who);
	if (e->module < 0 || e->module >= bench.modules) die("there is no module %s; modules are counted from 0 and stand first", who);
	if (sscanf(rest, "in%u %u", &a, &b) == 2 && a >= 1 && a <= (bench.module[e->module].kind == CHAIN ? 8 : 6) && b < 2) {
		e->what = EV_INPUT; e->a = a - 1; e->b = b; return 1;
	}
	if (sscanf(rest, "flash %i %7s %i", (int *)&a, what, (int *)&b) == 3) {
		e->a = a; e->b = b;
		if (!strcmp(what, "xor") && a < FLASH_BYTES && b < 0x100) { e->what = EV_XOR; return 1; }
		if (!strcmp(what, "word") && a + 1 < FLASH_BYTES && b < 0x10000) { e->what = EV_WORD; return 1; }
		return 0;
	}
	if (sscanf(rest, "power %u", &a) == 1 && a <= POWER_BACK_SOON) { e->what = EV_POWER; e->a = a; return 1; }
	if (sscanf(rest, "link %7s", how) == 1 && (!strcmp(how, "open") || !strcmp(how, "joined"))) { e->what = EV_LINK_OPEN; e->a = how[0] == 'o'; return 1; }
	if (sscanf(rest, "supply %i", (int *)&a) == 1 && a < 0x100) { e->what = EV_SENSE; e->rank = 0; e->a = SENSE_SUPPLY; e->b = a; return 1; }
	if (sscanf(rest, "heat %i", (int *)&a) == 1 && a < 0x100) { e->what = EV_SENSE; e->rank = 0; e->a = SENSE_HEAT; e->b = a; return 1; }
	if (sscanf(rest, "strap %7s", how) == 1) {
		e->what = EV_STRAP; e->rank = 0;
		e->a = !strcmp(how, "lh") ? STRAP_LH : !strcmp(how, "rh") ? STRAP_RH : !strcmp(how, "both") ? STRAP_BOTH : STRAP_MISSING;
		return e->a != STRAP_MISSING || !strcmp(how, "missing");
	}
	if (!strncmp(rest, "memory ", 7)) { e->what = EV_MEMORY; e->rank = 0; return 1; }
	if (sscanf(rest, "remnant %2x%2x", &a, &b) == 2) { e->what = EV_REMNANT; e->rank = 0; e->a = a; e->b = b; return 1; }
	if (!strncmp(rest, "serial ", 7)) { e->what = EV_SERIAL; return 1; }
	if (!strncmp(rest, "reset", 5)) { e->what = EV_RESET; return 1; }
	return 0;
}

static void add(list_t *l, event_t e) {
	if (!(l->n & (l->n - 1))) l->event = realloc(l->event, (l->n ? 2 * l->n : 1) * sizeof e);
	e.place = l->n;
	l->event[l->n++] = e;
}
// A statement of several events: EEPROM bytes, or the edges of what is sent on the serial line.
static void add_bytes(list_t *l, event_t e, const char *hex) {
	const fs_t bit = 1000000ull * FS_PER_US / BAUD;
	int n = 0, low = 0;
	for (; *hex && *hex != ' '; hex += 2, n++) {
		int v = hex_byte(hex);
		if (v < 0 || n == 140) die("up to 140 bytes in pairs of hexadecimal digits are wanted");
		if (e.what == EV_MEMORY) { e.a = n; e.b = v; add(l, e); e.order = 0; continue; } // one echo is enough
		fs_t start = e.at + n * 10 * bit;
		for (int i = 0; i < 10; i++) {
			int level = i == 0 ? 0 : i == 9 ? 1 : v >> (i - 1) & 1;
			if (level != low) continue;
			event_t edge = e;
			low = edge.a = !level;
			edge.at = start + i * bit;
			add(l, edge);
			e.order = 0;
		}
	}
	if (!n) die("bytes are missing");
}
static void add_event(list_t *l, const event_t *e, const char *text) {
	if (e->what == EV_MEMORY) add_bytes(l, *e, strstr(text, "memory ") + 7);
	else if (e->what == EV_SERIAL) add_bytes(l, *e, strstr(text, "serial ") + 7);
	else add(l, *e);
}

int main(int argc, char **argv) {
	char line[4200];
	int text = 0, jobs = 1, variants = 0;
	list_t events = { 0 }, *variant = NULL;
	for (int i = 1; i < argc; i++) {
		if (!strcmp(argv[i], "-text")) text = 1;
		else if (!strcmp(argv[i], "-jobs") && i + 1 < argc) jobs = atoi(argv[++i]);
		else die("options: -text, -jobs <n>");
	}
	if (jobs < 1 || jobs > 64) die("jobs are 1 to 64");
	bench_out = dup(1);                             // libsimavr prints; the stream must stay clean
	if (bench_out < 0 || dup2(2, 1) < 0) die("cannot set up the stream");
	avr_global_logger_set(silent);
	while (fgets(line, sizeof line, stdin)) {
		line_no++;
		line[strcspn(line, "\r\n")] = 0;
		char *p = line + strspn(line, " \t");
		double a, b;
		event_t e;
		if (!*p || *p == '#') continue;
		if (sscanf(p, "length %lf", &a) == 1) bench.length = us(a);
		else if (!strncmp(p, "module ", 7)) add_module(p);
		else if (sscanf(p, "window %lf %lf", &a, &b) == 2) {
			if (bench.windows == WINDOWS_MAX || b <= a) die("a window ends after it begins, and there are at most %d", WINDOWS_MAX);
			bench.window[bench.windows][0] = us(a); bench.window[bench.windows++][1] = us(b);
		} else if (!strcmp(p, "variant")) {
			variant = realloc(variant, (variants + 1) * sizeof *variant);
			variant[variants++] = (list_t){ 0 };
		} else if (read_event(p, &e)) add_event(variants ? &variant[variants - 1] : &events, &e, p);
		else die("cannot read: %s", p);
	}
	line_no = 0;
	if (!bench.modules || !bench.length) die("the setup needs a length and at least one module");
	for (int i = 0; i < bench.modules; i++) {
		module_t *m = &bench.module[i];
		add(&events, (event_t){ .at = m->on, .module = i, .order = -1 - i, .rank = 1, .what = EV_POWER, .a = 1 });
		for (int k = 0; k < bench.windows; k++) for (int j = 0; j < 2; j++) {
			fs_t t = bench.window[k][j], c = t > m->on ? (t - m->on) / m->period : 0;
			*(j ? &m->window[k].to : &m->window[k].from) = c;
		}
	}
	bench.event = events.event; bench.events = events.n;
	bench_sort();
	record_open(bench_out, text, variants > 0);
	record_header();
	if (variants) {
		fs_t branch = bench.length;
		for (int i = 0; i < variants; i++) for (int k = 0; k < variant[i].n; k++) if (variant[i].event[k].at < branch) branch = variant[i].event[k].at;
		record_flush();
		return sweep(jobs, branch, variant, variants);
	}
	bench_run(bench.length);
	for (int i = 0; i < bench.modules; i++) { module_close(&bench.module[i]); record_end(&bench.module[i]); }
	record_flush();
	return 0;
}
