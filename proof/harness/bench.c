// Time: the module that is behind runs next; events and the link wire in between.
#include <stdlib.h>
#include "harness.h"

bench_t bench = { .wire = 1, .burst = 1 };

// The wire is low when any joined module pulls it; a module on an open end sees only itself, held high by its own pull-up.
void wire_update(void) {
	int pulled = 0;
	for (int i = 0; i < bench.modules; i++) pulled |= bench.module[i].pull && !bench.module[i].link_open;
	bench.wire = bench.wire_fault == WIRE_LOW ? 0 : bench.wire_fault == WIRE_SUPPLY ? 1 : !pulled;
	for (int i = 0; i < bench.modules; i++) {
		module_t *m = &bench.module[i];
		module_link(m, m->link_open ? !m->pull : bench.wire);
	}
}

static void apply(const event_t *e) {
	module_t *m = e->module < 0 ? &bench.module[0] : &bench.module[e->module];
	uint8_t *f = m->avr->flash;
	bench.now = e->at;
	record_event(m, e);
	switch (e->what) {
	case EV_INPUT: module_input(m, e->a, e->b); break;
	case EV_XOR:   f[e->a] ^= e->b; break;
	case EV_WORD:  f[e->a] = e->b; f[e->a + 1] = e->b >> 8; break;
	case EV_RESET: module_reset(m); break;
	case EV_POWER: module_power(m, e->a); break;
	case EV_LINK_OPEN: m->link_open = e->a; wire_update(); break;
	case EV_SENSE: m->code[e->a] = e->b; break;
	case EV_STRAP: module_strap(m, e->a); break;
	case EV_SERIAL: serial_line(m, e->a); break;
	case EV_MEMORY: m->eeprom[e->a] = e->b; break;
	case EV_REMNANT: m->planted = 1; m->plant[0] = e->a; m->plant[1] = e->b; break;
	case EV_WIRE:  bench.wire_fault = e->a; wire_update(); break;
	}
}

static int by_time(const void *a, const void *b) {
	const event_t *x = a, *y = b;
	return x->at != y->at ? (x->at < y->at ? -1 : 1) : x->rank != y->rank ? x->rank - y->rank : x->place - y->place;
}
void bench_sort(void) { qsort(bench.event + bench.next, bench.events - bench.next, sizeof *bench.event, by_time); }

// Module that is behind, of those whose clock runs.
static module_t *behind(fs_t *when) {
	module_t *best = NULL;
	for (int i = 0; i < bench.modules; i++) {
		module_t *m = &bench.module[i];
		if (!module_runs(m)) continue;
		fs_t t = module_time(m);
		if (!best || t < *when) { best = m; *when = t; }
	}
	return best;
}

void bench_run(fs_t until) {
	for (;;) {
		fs_t t = until;
		module_t *m = behind(&t);
		if (!m) t = until;
		while (bench.next < bench.events && bench.event[bench.next].at <= t) {
			fs_t at = bench.event[bench.next].at;
			if (at >= until) return;
			apply(&bench.event[bench.next++]);
			m = behind(&t);
			if (!m) t = until;
		}
		if (!m || t >= until) return;
		if (t - bench.told >= 100000ull * FS_PER_US) { bench.told = t; record_tick(m); }
		module_step(m);
	}
}
