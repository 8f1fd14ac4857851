// The serial line, bit by bit at PD0: 1.6 hands over whole bytes and waits by the wall clock when it is polled. Pulses of whatever
// drives the pin are received as a real one would receive them (ATmega328P data sheet, "USART0").
#include <string.h>
#include "harness.h"

enum { UCSR0A = 0xc0, UCSR0B, UCSR0C, UBRR0L = 0xc4, UBRR0H, UDR0 };
enum { RXC = 0x80, TXC = 0x40, UDRE = 0x20, FE = 0x10, DOR = 0x08, U2X = 0x02, MPCM = 0x01, RXEN = 0x10, TXEN = 0x08 };
enum { FRAME_ERROR = 0x100, BITS = 10, IDLE = -1 };

static int clocked(const module_t *m) { return !(m->avr->data[PRR] & PRUSART0); }
int serial_takes_pin(const module_t *m) { return m->avr->data[UCSR0B] & RXEN && clocked(m); }
static int bit_cycles(const module_t *m) {
	const uint8_t *d = m->avr->data;
	return ((d[UBRR0L] | (d[UBRR0H] & 15) << 8) + 1) * (d[UCSR0A] & U2X ? 8 : 16);
}

// The level at a cycle of the module, from the latest edges: a controller that idles is told of an edge when it next wakes.
static int level_at(const module_t *m, cycles_t at) {
	int n = m->uart.edges, i = n - 1;
	while (i >= 0 && i > n - EDGES_KEPT && m->uart.edge[i % EDGES_KEPT].at > at) i--;
	return i < 0 || m->uart.edge[i % EDGES_KEPT].level;
}
static int take_bit(module_t *m, int level) {          // 0: the byte is over
	if (m->uart.bit == 0 && level) return 0;           // no start bit
	if (m->uart.bit > 0 && m->uart.bit < BITS - 1) m->uart.shift = m->uart.shift >> 1 | level << 7;
	if (m->uart.bit++ < BITS - 1) return 1;
	if (m->uart.n == 2) m->uart.overrun = DOR;
	else m->uart.fifo[m->uart.n++] = m->uart.shift | (level ? 0 : FRAME_ERROR);
	return 0;
}
static avr_cycle_count_t take_bits(avr_t *a, avr_cycle_count_t when, void *param) {
	module_t *m = param;
	(void)when;
	while (m->uart.next <= module_cycle(m)) {
		if (!take_bit(m, level_at(m, m->uart.next))) { m->uart.bit = IDLE; return 0; }
		m->uart.next += bit_cycles(m);
	}
	return a->cycle + (m->uart.next - module_cycle(m));
}
void serial_edge(module_t *m, int level) {
	cycles_t at = module_cycle_at(m, bench.now), now = module_cycle(m);
	m->uart.edge[m->uart.edges % EDGES_KEPT].at = at;
	m->uart.edge[m->uart.edges++ % EDGES_KEPT].level = level;
	if (level || m->uart.bit != IDLE || m->down || !serial_takes_pin(m)) return;
	m->uart.bit = 0; m->uart.shift = 0;
	m->uart.next = at + bit_cycles(m) / 2;
	avr_cycle_timer_register(m->avr, m->uart.next > now ? m->uart.next - now : 1, take_bits, m);
}

static avr_cycle_count_t sent(avr_t *a, avr_cycle_count_t when, void *param) {
	module_t *m = param;
	(void)a;
	record_sent(m, m->uart.out);
	if (!m->uart.waiting) { m->uart.sending = 0; m->uart.sent = TXC; return 0; }
	m->uart.out = m->uart.after; m->uart.waiting = 0;
	return when + BITS * bit_cycles(m);
}
static void udr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	(void)addr;
	if (!(a->data[UCSR0B] & TXEN) || !clocked(m) || m->uart.waiting) return;
	if (m->uart.sending) { m->uart.after = v; m->uart.waiting = 1; return; }
	m->uart.out = v; m->uart.sending = 1; m->uart.sent = 0;
	avr_cycle_timer_register(a, BITS * bit_cycles(m), sent, m);
}
static uint8_t udr_read(avr_t *a, avr_io_addr_t addr, void *param) {
	module_t *m = param;
	if (!m->uart.n) return a->data[addr];
	uint16_t v = m->uart.fifo[0];
	m->uart.fifo[0] = m->uart.fifo[1]; m->uart.n--;
	m->uart.overrun = 0;
	if (a->interrupts.running_ptr && m->heards < (int)sizeof m->heard) m->heard[m->heards++] = v; else record_heard(m, v);
	return a->data[addr] = (uint8_t)v;
}
static uint8_t status_read(avr_t *a, avr_io_addr_t addr, void *param) {
	module_t *m = param;
	return a->data[addr] = (a->data[addr] & (U2X | MPCM)) | (m->uart.n ? RXC | (m->uart.fifo[0] & FRAME_ERROR ? FE : 0) : 0) | m->uart.overrun |
		m->uart.sent | (m->uart.waiting ? 0 : UDRE);
}
static void status_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	a->data[addr] = v & (U2X | MPCM);
	if (v & TXC) m->uart.sent = 0;
}
void serial_lose(module_t *m) {
	if (m->uart.bit != IDLE) avr_cycle_timer_cancel(m->avr, take_bits, m);
	m->uart.bit = IDLE;
}
static void deaf(module_t *m) { serial_lose(m); m->uart.n = m->uart.overrun = 0; }
static void control_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	a->data[addr] = v;
	if (!(v & RXEN)) deaf(m);
	pins_changed(m, PORT_C, 0);                        // the receiver takes the pin, or gives it back
}
void serial_reset(module_t *m) {
	deaf(m);
	avr_cycle_timer_cancel(m->avr, sent, m);
	m->uart.sending = m->uart.waiting = m->uart.sent = 0;
}
void serial_make(module_t *m) {
	m->uart.bit = IDLE;
	hook_read(m, UCSR0A, status_read); hook_write(m, UCSR0A, status_write);
	hook_write(m, UCSR0B, control_write); hook_write(m, UCSR0C, NULL);
	hook_write(m, UBRR0L, NULL); hook_write(m, UBRR0H, NULL);
	hook_read(m, UDR0, udr_read); hook_write(m, UDR0, udr_write);
}
