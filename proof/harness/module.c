// One controller: libsimavr's ATmega328P, its interrupts, its resets and its power.
#include <stdlib.h>
#include <string.h>
#include <math.h>
#include "harness.h"

enum { MCUSR = 0x54, SPL = 0x5d, SPH = 0x5e, WDTCSR = 0x60 };
enum { ENTRY_CYCLES = 4, WAKE_CYCLES = 4, RETI_CYCLES = 4 };  // ATmega328P data sheet, "Interrupt Response Time"
enum { START_CYCLES = 16384 + 14 };    // from a reset to the first instruction, by the fuses that docs/boards/around.md names (data sheet, "Full Swing Crystal Oscillator")

static module_t *of(avr_t *a) {
	for (int i = 0; i < bench.modules; i++) if (bench.module[i].avr == a) return &bench.module[i];
	return &bench.module[bench.modules];            // still being made
}
cycles_t module_cycle_at(const module_t *m, fs_t t) { return t > m->on ? (t - m->on + m->period - 1) / m->period : 0; }
void fault(module_t *m, enum fault f) { m->faults++; record_fault(m, pin_edge(m), f); }
void hook_write(module_t *m, int address, avr_io_write_t f) {
	m->avr->io[AVR_DATA_TO_IO(address)].w.c = f; m->avr->io[AVR_DATA_TO_IO(address)].w.param = m;
}
void hook_read(module_t *m, int address, avr_io_read_t f) {
	m->avr->io[AVR_DATA_TO_IO(address)].r.c = f; m->avr->io[AVR_DATA_TO_IO(address)].r.param = m;
}

// --- interrupts ---

static void interrupt(struct avr_irq_t *irq, uint32_t running, void *param) {
	vector_t *v = param;
	module_t *m = v->m;
	(void)irq;
	if (running) {                                      // 1.6 charges nothing for the entry
		if (m->down) sleep_wake(m);
		v->entered = m->avr->cycle;
		m->avr->cycle += ENTRY_CYCLES + (m->asleep ? WAKE_CYCLES : 0);
		m->asleep = 0;
		m->pinc_fresh = 0;
		return;
	}
	for (int i = 0; i < m->heards; i++) record_heard(m, m->heard[i]);
	m->heards = 0;
	uint64_t d = m->avr->cycle - v->entered + RETI_CYCLES;
	v->n++; v->total += d;
	if (!v->min || d < v->min) v->min = d;
	if (d > v->max) v->max = d;
}

// 1.6 keeps the old time when a running watchdog is given another, as after every watchdog reset: it must look stopped first.
static void wdtcsr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	struct hooked *h = param;
	enum { WDE = 0x08, WDCE = 0x10 };
	if (a->data[addr] & WDCE && v & WDE) a->data[addr] &= ~WDE;
	h->c(a, addr, v, h->param);
}

// --- reset and power ---

static void after_reset(avr_t *a) {                     // called by avr_reset with all registers at 0
	module_t *m = of(a);
	if (m->core_reset) m->core_reset(a);
	m->in_reset = 1;
}
static void settle(module_t *m) {                       // the rest of a reset, once libsimavr is through with its own
	int cause = m->in_reset;
	avr_t *a = m->avr;
	if (a->data[MCUSR] & 8) cause = CAUSE_WATCHDOG;
	else { cause = cause == 3 ? CAUSE_POWER : CAUSE_EXTERNAL; a->data[MCUSR] = cause == CAUSE_POWER ? 1 : 2; }
	a->run_cycle_limit = bench.burst;                   // avr_reset puts it back to 1
	m->stuck = m->asleep = m->heards = 0;
	m->sample_at = 0; m->busy_n = 0; m->busy_sum = 0; memset(m->busy_ring, 0, sizeof m->busy_ring);
	if (cause != CAUSE_POWER) m->resets++;
	record_reset(m, cause);
	m->lived = 1;
	converter_reset(m); serial_reset(m); memory_reset(m, 0);
	pins_settle(m);
	m->in_reset = 0;
	m->pause += START_CYCLES;
}
void module_reset(module_t *m) {
	if (!m->powered) return;
	if (m->down) sleep_end(m, module_cycle_at(m, bench.now));
	avr_reset(m->avr);
	settle(m);
}
static void any_content(module_t *m) {                  // memory comes up with any content: never with helpful zeros
	uint32_t x = 2463534242u + m->index + 977 * m->starts++;
	for (int i = 0; i <= m->avr->ramend; i++) if (i < 32 || i >= 0x100) { x ^= x << 13; x ^= x >> 17; x ^= x << 5; m->avr->data[i] = x; }
	if (m->planted) memcpy(m->avr->data + REMNANT, m->plant, REMNANT_BYTES);
	m->planted = 0;
}
void module_power(module_t *m, int how) {
	int on = how != POWER_GONE;
	cycles_t now = module_cycle_at(m, bench.now);
	if (on == m->powered) return;
	if (!on) {
		if (m->down) sleep_end(m, now);
		record_off(m, now);
		memory_reset(m, 1);
		avr_reset(m->avr);                          // pins float
		m->in_reset = 1;
		pins_changed(m, PORT_C, 0);
		m->powered = m->in_reset = 0;
		return;
	}
	m->pause = now > m->avr->cycle ? now - m->avr->cycle : 0;
	m->lived = how == POWER_BACK_SOON;
	if (!m->lived) any_content(m);
	memset(m->shift, 0xff, sizeof m->shift); memset(m->latch, 0xff, sizeof m->latch);
	m->powered = 1;
	avr_reset(m->avr);
	m->in_reset = 3;
	settle(m);
}

void module_make(module_t *m, int kind, int registers, double ppm, fs_t on, const uint8_t *flash) {
	memset(m, 0, sizeof *m);
	m->index = m - bench.module;
	m->kind = kind; m->registers = registers; m->on = on;
	m->period = llround(1e15 / CLOCK_HZ / (1 + ppm / 1e6));
	m->stack_low = 0xffff;
	m->code[SENSE_SUPPLY] = 0x79; m->code[SENSE_HEAT] = 0xff;  // 13.5 V, a cold sensor or none
	avr_t *a = m->avr = avr_make_mcu_by_name("atmega328p");
	if (!a) die("libsimavr has no atmega328p");
	avr_init(a);
	a->frequency = CLOCK_HZ;
	a->log = 0;
	m->plain_run = a->run;
	m->core_reset = a->reset; a->reset = after_reset;
	memcpy(a->flash, flash, FLASH_BYTES);
	a->codeend = FLASH_BYTES;
	m->watchdog = (struct hooked){ m, 0, a->io[AVR_DATA_TO_IO(WDTCSR)].w.c, a->io[AVR_DATA_TO_IO(WDTCSR)].w.param };
	a->io[AVR_DATA_TO_IO(WDTCSR)].w.c = wdtcsr_write; a->io[AVR_DATA_TO_IO(WDTCSR)].w.param = &m->watchdog;
	pins_make(m); sleep_make(m); converter_make(m); memory_make(m); serial_make(m);
	for (int n = 1; n < VECTORS; n++) {
		avr_irq_t *q = avr_get_interrupt_irq(a, n);
		m->vector[n].m = m;
		if (q) avr_irq_register_notify(q + AVR_INT_IRQ_RUNNING, interrupt, &m->vector[n]);
	}
}

void module_step(module_t *m) {
	avr_t *a = m->avr;
	bench.now = module_time(m);
	if (m->stuck) {                                     // time passes, only the watchdog can help
		a->cycle += 1 + avr_cycle_timer_process(a);
		if (a->run != m->plain_run) avr_run(a);
	} else {
		int state = avr_run(a);
		sleep_step(m);
		if (state == cpu_Crashed || state == cpu_Done || state == cpu_Stopped) {
			m->stuck = 1; m->stuck_times++;
			fault(m, FAULT_STUCK);
		}
		uint16_t sp = a->data[SPL] | a->data[SPH] << 8;
		if (sp < m->stack_low) m->stack_low = sp;
	}
	if (m->in_reset) settle(m);
}
void module_close(module_t *m) {
	cycles_t end = module_cycle_at(m, bench.length);
	if (m->down) sleep_end(m, end);
	if (!m->powered && end > module_cycle(m)) m->pause = end - m->avr->cycle;
	light_close(m, module_cycle(m));
}
