// One controller: libsimavr's ATmega328P with its pins, and what libsimavr 1.6 leaves out or gets wrong put right.
#include <stdlib.h>
#include <string.h>
#include <math.h>
#include "harness.h"

enum { PORT_B, PORT_C, PORT_D };
enum { REG_PIN, REG_DDR, REG_PORT };
static const uint8_t base[3] = { 0x23, 0x26, 0x29 };    // PINx; DDRx and PORTx follow
enum { SPCR = 0x4c, SPSR = 0x4d, SPDR = 0x4e, MCUSR = 0x54, SPL = 0x5d, SPH = 0x5e, WDTCSR = 0x60, EICRA = 0x69 };
enum { BIT_GATE = 1, BIT_RCK = 2, SPI_PINS = 0x28, LINK_CHAIN = 2, LINK_PINS = 0 };
enum { ENTRY_CYCLES = 4, WAKE_CYCLES = 4, RETI_CYCLES = 4 };  // ATmega328P data sheet, "Interrupt Response Time"
enum { SPI_TAIL = 2 };     // cycles after the last bit before the next byte or latch is safe (18 a byte at fosc/2, measured practice)
enum { PAIR_CYCLES = 8 };  // pins: both ports change within this many cycles

static module_t *of(avr_t *a) {
	for (int i = 0; i < bench.modules; i++) if (bench.module[i].avr == a) return &bench.module[i];
	return &bench.module[bench.modules];            // still being made
}
static int ddr(const module_t *m, int port) { return m->avr->data[base[port] + REG_DDR]; }
static int out(const module_t *m, int port) { return m->avr->data[base[port] + REG_PORT]; }
static int link_bit(const module_t *m) { return m->kind == CHAIN ? LINK_CHAIN : LINK_PINS; }

// Cycle at which the running instruction has changed a pin: OUT takes one cycle, SBI, CBI and stores two.
static cycles_t edge(const module_t *m) {
	const uint8_t *p = m->avr->flash + m->avr->pc;
	if (m->in_reset) return m->avr->cycle;
	return m->avr->cycle + ((p[1] & 0xf8) == 0xb8 ? 1 : 2);
}
static void fault(module_t *m, enum fault f) { m->faults++; record_fault(m, edge(m), f); }

// --- inputs ---

static void raise(module_t *m, int port, int bit) {    // pin interrupts see the outside level of an input pin
	avr_ioport_external_t ext = { .name = "BCD"[port], .mask = (uint8_t)~ddr(m, port), .value = (uint8_t)(m->outside[port] & ~ddr(m, port)) };
	avr_ioctl(m->avr, AVR_IOCTL_IOPORT_SET_EXTERNAL("BCD"[port]), &ext);
	if (!(ddr(m, port) >> bit & 1))
		avr_raise_irq(avr_io_getirq(m->avr, AVR_IOCTL_IOPORT_GETIRQ("BCD"[port]), bit), m->outside[port] >> bit & 1);
}
static void outside(module_t *m, int port, int bit, int level) {
	m->outside[port] = (m->outside[port] & ~(1 << bit)) | !!level << bit;
	if (m->powered) raise(m, port, bit);
}
void module_input(module_t *m, int input, int level) {
	if (input < 6) outside(m, PORT_C, input, level);
	else if (m->kind == CHAIN) outside(m, PORT_D, input - 3, level);  // in7 PD3, in8 PD4
}
void module_link(module_t *m, int level) { outside(m, PORT_D, link_bit(m), level); }

// A driven pin reads what it drives, an input reads the outside; never what a reset or a pull-up left in libsimavr's copy.
static uint8_t read_pin(avr_t *a, avr_io_addr_t addr, void *param) {
	module_t *m = param;
	int port = (addr - base[0]) / 3;
	uint8_t d = ddr(m, port), v = (m->outside[port] & ~d) | (out(m, port) & d);
	if (port == PORT_D) v = (v & ~(1 << link_bit(m))) | (m->outside[PORT_D] & 1 << link_bit(m)); // open drain: the wire itself
	a->data[addr] = v;
	if (!a->interrupts.running_ptr) return v;
	if (port == PORT_C) { m->pinc = v; m->pinc_fresh = 1; }
	if (port == PORT_D && m->pinc_fresh) {
		cycles_t at = a->cycle, busy;
		m->pinc_fresh = 0;
		m->samples++;
		if (m->sample_at) {
			busy = (at - m->sample_at) - (m->sleep - m->sample_sleep);
			uint64_t *slot = &m->busy_ring[m->samples % REFRESHES_A_FRAME];
			m->busy_sum += busy - *slot; *slot = busy;
			if (++m->busy_n >= REFRESHES_A_FRAME && m->busy_sum > m->busy_worst) m->busy_worst = m->busy_sum;
		}
		m->sample_at = at; m->sample_sleep = m->sleep;
		uint8_t in = m->pinc & 0x3f;
		if (m->kind == CHAIN) in |= (v & 0x18) << 3;
		record_sample(m, at, in, v >> link_bit(m) & 1);
	}
	return v;
}

// --- outputs ---

static void pins_changed(module_t *m, int port, int written) {
	cycles_t at = edge(m);
	int b = ddr(m, PORT_B), d = ddr(m, PORT_D), link = 1 << link_bit(m);
	int pull = (d & link) && !(out(m, PORT_D) & link), high = (d & link) && (out(m, PORT_D) & link);
	if (high && !m->high) fault(m, FAULT_LINK_DRIVEN_HIGH);
	m->high = high;
	if (pull != m->pull) { m->pull = pull; record_level(m, at, 'P', pull); wire_update(); }
	if (m->kind == CHAIN) {
		int gate = b >> BIT_GATE & 1 ? out(m, PORT_B) >> BIT_GATE & 1 : 1;   // pull-up: dark while the pin floats
		int rck = b >> BIT_RCK & 1 ? out(m, PORT_B) >> BIT_RCK & 1 : 0;
		int rise = rck && !m->rck;
		m->rck = rck;
		if (rise) {
			if (at < m->spi_free) fault(m, FAULT_LATCH_IN_SHIFT);
			memcpy(m->latch, m->shift, sizeof m->latch);
			record_word(m, at, m->latch, m->registers);
		}
		if (gate != m->gate) { m->gate = gate; record_level(m, at, 'G', gate); }
		light_changed(m, at);
		return;
	}
	uint16_t now = (out(m, PORT_B) & b & 0x3f) | (out(m, PORT_D) & d & 0xfc) << 4, was = m->ports;
	int pair = m->half && written && m->half != port + 1 && at - m->half_at <= PAIR_CYCLES;
	if (written && port != PORT_C && !pair) {
		if (m->half && m->avr->interrupts.running_ptr) fault(m, FAULT_LONE_PORT);
		m->half = port + 1; m->half_at = at;
	}
	if (pair) m->half = 0;
	m->ports = now;
	if (pair || (now != was && !m->avr->interrupts.running_ptr)) record_word(m, at, (uint8_t[]){ now & 0xff, now >> 8 }, 2);
	light_changed(m, at);
}
static void write_hook(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	struct hooked *h = param;
	module_t *m = h->m;
	int reg = (addr - base[0]) % 3;
	if (reg == REG_DDR) {                               // keep libsimavr's own copy of the outside in step
		avr_ioport_external_t ext = { .name = "BCD"[h->port], .mask = (uint8_t)~v, .value = (uint8_t)(m->outside[h->port] & ~v) };
		avr_ioctl(a, AVR_IOCTL_IOPORT_SET_EXTERNAL("BCD"[h->port]), &ext);
	}
	if (h->c) h->c(a, addr, v, h->param); else a->data[addr] = v;
	pins_changed(m, h->port, reg != REG_DDR);
}

// --- SPI: libsimavr 1.6 takes 100 us for every byte ---

static avr_cycle_count_t spi_done(avr_t *a, avr_cycle_count_t when, void *param) {
	(void)when; (void)param;
	a->data[SPSR] |= 0x80;
	return 0;
}
static void spdr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	static const int divider[4] = { 4, 16, 64, 128 };
	module_t *m = param;
	uint8_t c = a->data[SPCR];
	int cycles = 8 * (divider[c & 3] >> (a->data[SPSR] & 1));
	a->data[addr] = v;
	a->data[SPSR] &= ~0x80;
	if ((c & 0x50) != 0x50 || (ddr(m, PORT_B) & SPI_PINS) != SPI_PINS) { fault(m, FAULT_SPI_OFF); return; }
	if (edge(m) < m->spi_free) { fault(m, FAULT_SPI_COLLISION); return; }
	m->spi_free = edge(m) + cycles + SPI_TAIL;
	avr_cycle_timer_register(a, cycles + 1, spi_done, NULL);
	if (c & 0x20) { uint8_t r = 0; for (int i = 0; i < 8; i++) r |= (v >> i & 1) << (7 - i); v = r; } // low bit first
	memmove(m->shift + 1, m->shift, REGISTERS_MAX - 1);
	m->shift[0] = v;
}

// --- interrupts, sleep ---

static void interrupt(struct avr_irq_t *irq, uint32_t running, void *param) {
	vector_t *v = param;
	module_t *m = v->m;
	(void)irq;
	if (running) {                                      // 1.6 charges nothing for the entry
		v->entered = m->avr->cycle;
		m->avr->cycle += ENTRY_CYCLES + (m->asleep ? WAKE_CYCLES : 0);
		m->asleep = 0;
		m->pinc_fresh = 0;
		return;
	}
	uint64_t d = m->avr->cycle - v->entered + RETI_CYCLES;
	v->n++; v->total += d;
	if (!v->min || d < v->min) v->min = d;
	if (d > v->max) v->max = d;
}
static void no_wall_sleep(avr_t *a, avr_cycle_count_t n) { module_t *m = of(a); m->sleep += n + 1; m->asleep = 1; }

// INT0 and INT1 in level mode make 1.6 poll in every cycle: they stay unplugged until a core chooses an edge.
static void extint_plug(module_t *m, int n, int plug) {
	avr_irq_t *pin = avr_io_getirq(m->avr, AVR_IOCTL_IOPORT_GETIRQ('D'), 2 + n), *in = avr_io_getirq(m->avr, AVR_IOCTL_EXTINT_GETIRQ(), EXTINT_IRQ_OUT_INT0 + n);
	if (plug) avr_connect_irq(pin, in); else avr_unconnect_irq(pin, in);
	m->level_mode[n] = !plug;
}
static void eicra_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	a->data[addr] = v;
	for (int n = 0; n < 2; n++) { int level = !(v >> 2 * n & 3); if (level != m->level_mode[n]) extint_plug(m, n, !level); }
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
	m->stuck = m->asleep = m->pinc_fresh = m->half = 0;
	m->spi_free = m->sample_at = 0; m->busy_n = 0; m->busy_sum = 0; memset(m->busy_ring, 0, sizeof m->busy_ring);
	if (cause != CAUSE_POWER) m->resets++;
	record_reset(m, cause);
	for (int n = 0; n < 2; n++) extint_plug(m, n, 0);
	for (int p = 0; p < 3; p++) for (int bit = 0; bit < 8; bit++) raise(m, p, bit);
	a->data[0x3c] = 0;                                  // EIFR: those raises were no edges
	pins_changed(m, PORT_C, 0);
	m->in_reset = 0;
}
void module_reset(module_t *m) {
	if (!m->powered) return;
	avr_reset(m->avr);
	settle(m);
}
void module_power(module_t *m, int on, fs_t now) {
	if (on == m->powered) return;
	if (!on) {
		avr_reset(m->avr);                          // pins float
		m->in_reset = 1;
		pins_changed(m, PORT_C, 0);
		m->powered = m->in_reset = 0;
		return;
	}
	if (now > m->on) m->avr->cycle = (now - m->on + m->period - 1) / m->period;
	uint32_t x = 2463534242u + m->index;                // memory comes up with any content: never with helpful zeros
	for (int i = 0x100; i <= m->avr->ramend; i++) { x ^= x << 13; x ^= x >> 17; x ^= x << 5; m->avr->data[i] = x; }
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
	m->gate = 1; m->stack_low = 0xffff;
	m->outside[PORT_D] = 1 << link_bit(m);
	avr_t *a = m->avr = avr_make_mcu_by_name("atmega328p");
	if (!a) die("libsimavr has no atmega328p");
	avr_init(a);
	a->frequency = CLOCK_HZ;
	a->log = 0;
	a->sleep = no_wall_sleep;
	m->plain_run = a->run;
	m->core_reset = a->reset; a->reset = after_reset;
	memcpy(a->flash, flash, FLASH_BYTES);
	a->codeend = FLASH_BYTES;
	a->io[AVR_DATA_TO_IO(SPDR)].w.c = spdr_write; a->io[AVR_DATA_TO_IO(SPDR)].w.param = m;
	a->io[AVR_DATA_TO_IO(EICRA)].w.c = eicra_write; a->io[AVR_DATA_TO_IO(EICRA)].w.param = m;
	m->watchdog = (struct hooked){ m, 0, a->io[AVR_DATA_TO_IO(WDTCSR)].w.c, a->io[AVR_DATA_TO_IO(WDTCSR)].w.param };
	a->io[AVR_DATA_TO_IO(WDTCSR)].w.c = wdtcsr_write; a->io[AVR_DATA_TO_IO(WDTCSR)].w.param = &m->watchdog;
	for (int p = 0; p < 3; p++) {
		a->io[AVR_DATA_TO_IO(base[p])].r.c = read_pin; a->io[AVR_DATA_TO_IO(base[p])].r.param = m;
		for (int r = 0; r < 3; r++) {
			struct hooked *h = &m->hooks[p][r];
			int io = AVR_DATA_TO_IO(base[p] + r);
			*h = (struct hooked){ m, p, a->io[io].w.c, a->io[io].w.param };
			a->io[io].w.c = write_hook; a->io[io].w.param = h;
		}
	}
	for (int n = 1; n < VECTORS; n++) {
		avr_irq_t *q = avr_get_interrupt_irq(a, n);
		m->vector[n].m = m;
		if (q) avr_irq_register_notify(q + AVR_INT_IRQ_RUNNING, interrupt, &m->vector[n]);
	}
}

void module_step(module_t *m) {
	avr_t *a = m->avr;
	if (m->stuck) {                                     // time passes, only the watchdog can help
		a->cycle += 1 + avr_cycle_timer_process(a);
		if (a->run != m->plain_run) avr_run(a);
	} else {
		int state = avr_run(a);
		if (state == cpu_Crashed || state == cpu_Done || state == cpu_Stopped) {
			m->stuck = 1; m->stuck_times++;
			fault(m, FAULT_STUCK);
		}
		uint16_t sp = a->data[SPL] | a->data[SPH] << 8;
		if (sp < m->stack_low) m->stack_low = sp;
	}
	if (m->in_reset) settle(m);
}
void module_close(module_t *m) { light_close(m, m->avr->cycle); }
