// Sleep. Idle is libsimavr's own, without its waiting by the wall clock. In power-down and standby the controller's clock stands
// still, which 1.6 knows nothing of: only a pin change or a reset goes on with it (ATmega328P data sheet, "Sleep Modes").
#include <stddef.h>
#include "harness.h"

enum { SMCR = 0x53, WDTCSR = 0x60, ADCSRA = 0x7a };
enum { OSCILLATOR_CYCLES = 16384 };     // start-up from power-down, by the fuses (data sheet, "Full Swing Crystal Oscillator")
enum { POWER_DOWN = 2, POWER_SAVE = 3 };

static void asleep(avr_t *a, avr_cycle_count_t n) {    // called by avr_run once SLEEP is reached; it then lets n + 1 cycles pass
	module_t *m = NULL;
	for (int i = 0; i < bench.modules; i++) if (bench.module[i].avr == a) m = &bench.module[i];
	int mode = a->data[SMCR] >> 1 & 7;
	m->asleep = 1;
	if (mode != POWER_DOWN && mode != POWER_SAVE) { m->sleep += n + 1; return; }
	m->down = 1; m->down_at = a->cycle;
	record_sleep(m, module_cycle(m), 1);
	if (light_now(m)) fault(m, FAULT_LIT_ASLEEP);
	if (a->data[WDTCSR] & 0x48 || a->data[ADCSRA] & 0x80) fault(m, FAULT_AWAKE_ASLEEP); // WDE, WDIE; ADEN
	serial_lose(m);
}
void sleep_make(module_t *m) { m->avr->sleep = asleep; }
void sleep_step(module_t *m) { if (m->down) m->avr->cycle = m->down_at; }

static void ended(module_t *m, cycles_t at) {
	m->avr->cycle = m->down_at;
	if (at > module_cycle(m)) { m->slept += at - module_cycle(m); m->pause = at - m->avr->cycle; }
	m->down = 0;
}
void sleep_end(module_t *m, cycles_t at) {
	ended(m, at);
	record_sleep(m, module_cycle(m), 0);
}
void sleep_wake(module_t *m) {
	ended(m, module_cycle_at(m, bench.now));
	m->pause += OSCILLATOR_CYCLES; m->slept += OSCILLATOR_CYCLES;
	record_sleep(m, module_cycle(m), 0);
}
