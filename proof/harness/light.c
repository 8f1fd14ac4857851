// The light account of the windows: how long each output is lit in a window, and its longest dark stretch.
#include "harness.h"

uint64_t light_now(const module_t *m) {
	uint64_t w = 0;
	if (m->kind == PINS) return m->ports;
	if (m->gate) return 0;
	for (int i = 0; i < m->registers; i++) w |= (uint64_t)m->latch[i] << 8 * i;
	return w;
}
static cycles_t overlap(const window_t *w, cycles_t from, cycles_t to) {
	if (from < w->from) from = w->from;
	if (to > w->to) to = w->to;
	return to > from ? to - from : 0;
}
static void dark_until(module_t *m, int o, cycles_t at) {
	for (int i = 0; i < bench.windows; i++) {
		cycles_t d = overlap(&m->window[i], m->dark_since[o], at);
		if (d > m->window[i].dark[o]) m->window[i].dark[o] = d;
	}
}
static void account(module_t *m, cycles_t at, uint64_t now) {
	for (int i = 0; i < bench.windows; i++) {
		uint32_t d = overlap(&m->window[i], m->lit_at, at);
		if (d) for (uint64_t w = m->lit; w; w &= w - 1) m->window[i].lit[__builtin_ctzll(w)] += d;
	}
	for (uint64_t c = m->lit ^ now; c; c &= c - 1) {
		int o = __builtin_ctzll(c);
		if (now >> o & 1) dark_until(m, o, at); else m->dark_since[o] = at;
	}
	m->lit = now; m->lit_at = at;
}
void light_changed(module_t *m, cycles_t at) {
	if (!bench.windows) return;
	uint64_t now = light_now(m);
	if (now != m->lit) account(m, at, now);
}
void light_close(module_t *m, cycles_t at) {
	if (!bench.windows) return;
	account(m, at, m->lit);
	for (int o = 0; o < OUTPUTS_MAX; o++) if (!(m->lit >> o & 1)) dark_until(m, o, at);
}
