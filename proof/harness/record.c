// What the bench writes. Binary stream, integers little endian:
//
//   header   "LWTR", u8 version 3, u8 modules, then for each module: u8 kind (0 chain, 1 pins), u8 word bytes w
//   record   u8 tag = kind + 32 * module, varint (7 bits a byte, low first, top bit: more follow) cycles of this module since
//            its previous record, then by kind:
//    1 sample    u8 inputs (bit 0 = in1), u8 link level      3 gate   u8 level of /G, 1 = dark
//    2 word      w bytes, byte 0 = register nearest the      4 pull   u8 1 = this module pulls the link wire
//                controller (pins: outputs 1..8, 9..12)      5 reset  u8 0 power, 1 external, 2 watchdog
//    6 fault     u8 enum fault                               7 event  u32 line of the setup text
//    8 tick      nothing: time goes on                       9 end    see record_end; the last record of a module
//   10 variant   see record_variant (sweeps hold nothing else)
//   11 code      u8 0 supply, 1 heat; u8 code that the converter has just sampled
//   12 heard     u8 1: without its stop bit; u8 byte that the core took from the serial line, at the end of the interrupt in which it did
//   13 sent      u8 byte that has gone out on the serial line
//   14 kept      u16 address, u8 value: an EEPROM byte has been written
//   15 down      power-down begins                         16 up     and ends, start-up of the oscillator included
//   17 off       the supply is gone
//
// A reset (5) goes on with u8 strap (0 missing, 1 LH, 2 RH, 3 both) the ten EEPROM bytes that the core makes use of,
// u8 1: RAM is as it was, and the two bytes of it that the core does not clear.
//
// Cycles count from the module's power-on time. A pin change is stamped with the end of the instruction that made it.
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include "harness.h"

enum { K_SAMPLE = 1, K_WORD, K_GATE, K_PULL, K_RESET, K_FAULT, K_EVENT, K_TICK, K_END, K_VARIANT, K_CODE, K_HEARD, K_SENT, K_KEPT, K_DOWN, K_UP, K_OFF };
static uint8_t buf[1 << 16];
static unsigned used;
static int to = 1, as_text, quiet;

void record_open(int fd, int text, int summary_only) { to = fd; as_text = text; quiet = summary_only; }
void record_flush(void) {
	for (unsigned done = 0; done < used; ) {
		ssize_t n = write(to, buf + done, used - done);
		if (n <= 0) die("cannot write the stream");
		done += n;
	}
	used = 0;
}
static void u8(unsigned v) { if (used == sizeof buf) record_flush(); buf[used++] = v; }
static void le(uint64_t v, int n) { while (n--) { u8(v & 0xff); v >>= 8; } }
static void varint(uint64_t v) { for (; v > 0x7f; v >>= 7) u8((v & 0x7f) | 0x80); u8(v); }
static void text(const char *fmt, ...) {
	char line[256];
	va_list ap; va_start(ap, fmt); int n = vsnprintf(line, sizeof line, fmt, ap); va_end(ap);
	for (int i = 0; i < n && i < (int)sizeof line; i++) u8(line[i]);
}
// Begins a record. As text: "<time us> <module> <cycle> <kind>".
static int begin(module_t *m, cycles_t at, int kind, const char *name) {
	if (quiet) return 0;
	if (at < m->logged) at = m->logged;
	if (as_text) text("%.4f %d %llu %s", (double)(m->on + at * m->period) / FS_PER_US, m->index, (unsigned long long)at, name);
	else { u8(kind + 32 * m->index); varint(at - m->logged); }
	m->logged = at;
	return 1;
}
void record_header(void) {
	if (as_text) return;
	for (const char *p = "LWTR\3"; *p; p++) u8(*p);
	u8(bench.modules);
	for (int i = 0; i < bench.modules; i++) { u8(bench.module[i].kind); u8(bench.module[i].kind == CHAIN ? bench.module[i].registers : 2); }
}
static void byte_record(module_t *m, cycles_t at, int kind, const char *name, int v) {
	if (!begin(m, at, kind, name)) return;
	if (as_text) text(" %d\n", v); else u8(v);
}
void record_sample(module_t *m, cycles_t at, uint8_t inputs, int link) {
	if (!begin(m, at, K_SAMPLE, "sample")) return;
	if (as_text) text(" %02x %d\n", inputs, link); else { u8(inputs); u8(link); }
}
void record_word(module_t *m, cycles_t at, const uint8_t *word, int n) {
	if (!begin(m, at, K_WORD, "word")) return;
	if (as_text) u8(' ');
	for (int i = 0; i < n; i++) { if (as_text) text("%02x", word[i]); else u8(word[i]); }
	if (as_text) u8('\n');
}
void record_level(module_t *m, cycles_t at, char what, int level) {
	if (what == 'G') byte_record(m, at, K_GATE, "gate", level); else byte_record(m, at, K_PULL, "pull", level);
}
void record_reset(module_t *m, int cause) {
	if (!begin(m, module_cycle(m), K_RESET, "reset")) return;
	if (as_text) text(" %d strap %d memory ", cause, m->strap); else { u8(cause); u8(m->strap); }
	for (int i = 0; i < KEPT_BYTES; i++) { if (as_text) text("%02x", m->eeprom[i]); else u8(m->eeprom[i]); }
	const uint8_t *left = m->avr->data + REMNANT;
	if (as_text) text(" ram %s %02x%02x\n", m->lived ? "lived" : "anew", left[0], left[1]); else { u8(m->lived); u8(left[0]); u8(left[1]); }
}
static void two_bytes(module_t *m, int kind, const char *name, int a, int b) {
	if (!begin(m, module_cycle(m), kind, name)) return;
	if (as_text) text(" %d %02x\n", a, b); else { u8(a); u8(b); }
}
void record_code(module_t *m, int sense, uint8_t code) { two_bytes(m, K_CODE, "code", sense, code); }
void record_heard(module_t *m, uint16_t byte) { two_bytes(m, K_HEARD, "heard", byte >> 8, byte & 0xff); }
void record_sent(module_t *m, uint8_t byte) { byte_record(m, module_cycle(m), K_SENT, "sent", byte); }
void record_kept(module_t *m, uint16_t address, uint8_t value) {
	if (!begin(m, module_cycle(m), K_KEPT, "kept")) return;
	if (as_text) text(" %03x %02x\n", address, value); else { le(address, 2); u8(value); }
}
void record_off(module_t *m, cycles_t at) { if (begin(m, at, K_OFF, "off") && as_text) u8('\n'); }
void record_sleep(module_t *m, cycles_t at, int down) {
	if (begin(m, at, down ? K_DOWN : K_UP, down ? "down" : "up") && as_text) u8('\n');
}
void record_fault(module_t *m, cycles_t at, enum fault f) { byte_record(m, at, K_FAULT, "fault", f); }
void record_event(module_t *m, const event_t *e) {
	cycles_t at = e->at > m->on ? (e->at - m->on) / m->period : 0;  // a sleeping controller has already been moved on to its next interrupt
	if (!begin(m, module_runs(m) && at > module_cycle(m) ? module_cycle(m) : at, K_EVENT, "event")) return;
	if (as_text) text(" line %d\n", e->order); else le(e->order, 4);
}
void record_tick(module_t *m) {
	if (!begin(m, module_cycle(m), K_TICK, "tick")) return;
	if (as_text) u8('\n');
	record_flush();
}
// End of a module's record: u64 cycles of its clock, u64 of them asleep, u64 cycles in power-down besides, u32 worst busy cycles of any eight refreshes in a row, u64 samples,
// u32 resets, u32 faults, u16 lowest stack pointer, u8 vectors n; n times u8 vector, u64 runs, u32 least, u32 most,
// u64 total cycles (entry and return included).
void record_end(module_t *m) {
	int n = 0;
	for (int i = 0; i < VECTORS; i++) n += m->vector[i].n > 0;
	if (!begin(m, module_cycle(m), K_END, "end")) return;
	if (as_text) {
		text(" asleep %llu down %llu worst frame busy %llu samples %llu resets %llu faults %llu stack low %04x\n", (unsigned long long)m->sleep, (unsigned long long)m->slept, (unsigned long long)m->busy_worst,
			(unsigned long long)m->samples, (unsigned long long)m->resets, (unsigned long long)m->faults, m->stack_low);
		for (int i = 0; i < VECTORS; i++) {
			vector_t *v = &m->vector[i];
			if (v->n) text("  vector %d: runs %llu, cycles %u / %.1f / %u (least, mean, most)\n", i, (unsigned long long)v->n, v->min, (double)v->total / v->n, v->max);
		}
		return;
	}
	le(m->avr->cycle, 8); le(m->sleep, 8); le(m->slept, 8); le(m->busy_worst, 4); le(m->samples, 8); le(m->resets, 4); le(m->faults, 4); le(m->stack_low, 2);
	u8(n);
	for (int i = 0; i < VECTORS; i++) {
		vector_t *v = &m->vector[i];
		if (v->n) { u8(i); le(v->n, 8); le(v->min, 4); le(v->max, 4); le(v->total, 8); }
	}
}
// One variant of a sweep: u32 variant; for each module: u64 samples, u32 resets, u32 faults, u32 times stuck, u8 stuck at the end; then for
// each window: u64 window cycles, and for each output (8 * w): u32 cycles lit, u32 longest dark stretch in cycles.
void record_variant(uint32_t n) {
	if (as_text) text("variant %u\n", n); else { u8(K_VARIANT); le(n, 4); }
	for (int i = 0; i < bench.modules; i++) {
		module_t *m = &bench.module[i];
		int outputs = m->kind == CHAIN ? 8 * m->registers : 16;
		if (as_text) text(" module %d samples %llu resets %llu faults %llu stuck %llu\n", i, (unsigned long long)m->samples, (unsigned long long)m->resets, (unsigned long long)m->faults, (unsigned long long)m->stuck_times);
		else { le(m->samples, 8); le(m->resets, 4); le(m->faults, 4); le(m->stuck_times, 4); u8(m->stuck); }
		for (int k = 0; k < bench.windows; k++) {
			window_t *w = &m->window[k];
			if (as_text) text("  window %d of %llu cycles, lit:", k, (unsigned long long)(w->to - w->from)); else le(w->to - w->from, 8);
			for (int o = 0; o < outputs; o++) { if (as_text) text(" %u", w->lit[o]); else { le(w->lit[o], 4); le(w->dark[o], 4); } }
			if (as_text) u8('\n');
		}
	}
}
