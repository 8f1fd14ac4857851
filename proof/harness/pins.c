// The pins of one controller: what is outside, what the board hangs on them, and what libsimavr 1.6 gets wrong about both.
#include <string.h>
#include "harness.h"

static const uint8_t base[3] = { 0x23, 0x26, 0x29 };    // PINx; DDRx and PORTx follow
enum { PCIFR = 0x3b, EIFR = 0x3c, SPCR = 0x4c, SPSR = 0x4d, SPDR = 0x4e, PCICR = 0x68, EICRA = 0x69, PCMSK0 = 0x6b };
enum { BIT_GATE = 1, BIT_RCK = 2, SPI_PINS = 0x28, LINK_CHAIN = 2, LINK_PINS = 0, SERIAL = 0, STRAP_LH_BIT = 5, STRAP_RH_BIT = 6 };
enum { SPI_TAIL = 2 };     // cycles after the last bit before the next byte or latch is safe (18 a byte at fosc/2, measured practice)
enum { PAIR_CYCLES = 8 };  // pins: both ports change within this many cycles

static int ddr(const module_t *m, int port) {
	int d = m->avr->data[base[port] + REG_DDR];
	return port == PORT_D && serial_takes_pin(m) ? d & ~(1 << SERIAL) : d;
}
static int out(const module_t *m, int port) { return m->avr->data[base[port] + REG_PORT]; }
static int link_bit(const module_t *m) { return m->kind == CHAIN ? LINK_CHAIN : LINK_PINS; }

// Cycle at which the running instruction has changed a pin: OUT takes one cycle, SBI, CBI and stores two.
cycles_t pin_edge(const module_t *m) {
	const uint8_t *p = m->avr->flash + m->avr->pc;
	if (m->in_reset) return module_cycle(m);
	return module_cycle(m) + ((p[1] & 0xf8) == 0xb8 ? 1 : 2);
}

// --- inputs ---

static void raise(module_t *m, int port, int bit) {    // INT0 and INT1 see the outside level of an input pin
	avr_ioport_external_t ext = { .name = "BCD"[port], .mask = (uint8_t)~ddr(m, port), .value = (uint8_t)(m->outside[port] & ~ddr(m, port)) };
	avr_ioctl(m->avr, AVR_IOCTL_IOPORT_SET_EXTERNAL("BCD"[port]), &ext);
	if (!(ddr(m, port) >> bit & 1))
		avr_raise_irq(avr_io_getirq(m->avr, AVR_IOCTL_IOPORT_GETIRQ("BCD"[port]), bit), m->outside[port] >> bit & 1);
}
// 1.6 raises a pin-change interrupt whether the level changes or not: its own is switched off, this one takes its place.
static void changed(module_t *m, int port, int bit) {
	avr_t *a = m->avr;
	if (!(a->data[PCMSK0 + port] >> bit & 1)) return;
	a->data[PCIFR] |= 1 << port;
	if (!(a->data[PCICR] >> port & 1)) return;
	int down = m->down;
	if (down) sleep_wake(m);
	avr_raise_interrupt(a, &m->port[port]->pcint);
	if (down) avr_service_interrupts(a);                // before the instruction after SLEEP
}
void pin_outside(module_t *m, int port, int bit, int level) {
	int was = m->outside[port] >> bit & 1;
	m->outside[port] = (m->outside[port] & ~(1 << bit)) | !!level << bit;
	if (!m->powered) return;
	raise(m, port, bit);
	if (was == !!level) return;
	changed(m, port, bit);
	if (port == PORT_D && bit == SERIAL) serial_edge(m, !!level);
}
void module_input(module_t *m, int input, int level) {
	if (input < 6) pin_outside(m, PORT_C, input, level);
	else if (m->kind == CHAIN) pin_outside(m, PORT_D, input - 3, level);  // in7 PD3, in8 PD4
}
void module_link(module_t *m, int level) {
	pin_outside(m, PORT_D, link_bit(m), level && !(m->kind == PINS && m->line_low));
}
void serial_line(module_t *m, int low) {
	m->line_low = low;
	if (m->kind == CHAIN) pin_outside(m, PORT_D, SERIAL, !low); else wire_update(); // pins: the line comes in on the link wire
}
void module_strap(module_t *m, int strap) {
	if (m->kind != CHAIN) return;
	m->strap = strap;
	for (int bit = STRAP_LH_BIT; bit <= STRAP_RH_BIT; bit++) {
		int low = strap == STRAP_BOTH || strap == (bit == STRAP_LH_BIT ? STRAP_LH : STRAP_RH);
		m->open[PORT_D] = (m->open[PORT_D] & ~(1 << bit)) | !low << bit;
	}
}
// An open pin reads high with its pull-up on, else anything.
static uint8_t floating(module_t *m, int port) {
	static uint32_t x = 2463534242u;
	x ^= x << 13; x ^= x >> 17; x ^= x << 5;
	return m->open[port] & (out(m, port) | x);
}

static void sampled(module_t *m, uint8_t pind) {
	avr_t *a = m->avr;
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
	if (m->kind == CHAIN) in |= (pind & 0x18) << 3;
	record_sample(m, module_cycle(m), in, pind >> link_bit(m) & 1);
}
// A driven pin reads what it drives, an input reads the outside; never what a reset or a pull-up left in libsimavr's copy.
static uint8_t read_pin(avr_t *a, avr_io_addr_t addr, void *param) {
	module_t *m = param;
	int port = (addr - base[0]) / 3;
	uint8_t d = ddr(m, port), v = (((m->outside[port] & ~m->open[port]) | floating(m, port)) & ~d) | (out(m, port) & d);
	if (port == PORT_D) v = (v & ~(1 << link_bit(m))) | (m->outside[PORT_D] & 1 << link_bit(m)); // open drain: the wire itself
	a->data[addr] = v;
	if (!a->interrupts.running_ptr) return v;
	if (port == PORT_C) { m->pinc = v; m->pinc_fresh = 1; }
	if (port == PORT_D && m->pinc_fresh) sampled(m, v);
	return v;
}

// --- outputs ---

void pins_changed(module_t *m, int port, int written) {
	cycles_t at = pin_edge(m);
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
	if (!m->in_reset && (pair || (now != was && !m->avr->interrupts.running_ptr))) record_word(m, at, (uint8_t[]){ now & 0xff, now >> 8 }, 2);
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
	if (pin_edge(m) < m->spi_free) { fault(m, FAULT_SPI_COLLISION); return; }
	m->spi_free = pin_edge(m) + cycles + SPI_TAIL;
	avr_cycle_timer_register(a, cycles + 1, spi_done, NULL);
	if (c & 0x20) { uint8_t r = 0; for (int i = 0; i < 8; i++) r |= (v >> i & 1) << (7 - i); v = r; } // low bit first
	memmove(m->shift + 1, m->shift, REGISTERS_MAX - 1);
	m->shift[0] = v;
}

// --- pin interrupts ---

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
// A flag of the pin changes is cleared by writing a one; with its interrupt switched on, a flag that stands is served.
static void pcifr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	(void)addr;
	for (int p = 0; p < 3; p++) if (v >> p & 1) { avr_clear_interrupt(a, &m->port[p]->pcint); a->data[PCIFR] &= ~(1 << p); }
}
static void pcicr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	a->data[addr] = v;
	for (int p = 0; p < 3; p++) if (v & a->data[PCIFR] & 1 << p) avr_raise_interrupt(a, &m->port[p]->pcint);
}

void pins_settle(module_t *m) {
	m->pinc_fresh = m->half = 0;
	m->spi_free = 0;
	for (int n = 0; n < 2; n++) extint_plug(m, n, 0);
	for (int p = 0; p < 3; p++) for (int bit = 0; bit < 8; bit++) raise(m, p, bit);
	m->avr->data[EIFR] = 0;                             // those raises were no edges
	pins_changed(m, PORT_C, 0);
}
void pins_make(module_t *m) {
	avr_t *a = m->avr;
	m->gate = 1;
	m->outside[PORT_D] = 1 << link_bit(m) | 1 << SERIAL;
	module_strap(m, STRAP_MISSING);
	hook_write(m, SPDR, spdr_write);
	hook_write(m, EICRA, eicra_write);
	hook_write(m, PCIFR, pcifr_write);
	hook_write(m, PCICR, pcicr_write);
	for (avr_io_t *io = a->io_port; io; io = io->next) {
		avr_ioport_t *p = (avr_ioport_t *)io;
		if (!strcmp(io->kind, "port") && p->name >= 'B' && p->name <= 'D') { m->port[p->name - 'B'] = p; p->r_pcint = 0; }
	}
	for (int p = 0; p < 3; p++) {
		if (!m->port[p]) die("libsimavr has no port %c", "BCD"[p]);
		hook_read(m, base[p], read_pin);
		for (int r = 0; r < 3; r++) {
			struct hooked *h = &m->hooks[p][r];
			int io = AVR_DATA_TO_IO(base[p] + r);
			*h = (struct hooked){ m, p, a->io[io].w.c, a->io[io].w.param };
			a->io[io].w.c = write_hook; a->io[io].w.param = h;
		}
	}
}
