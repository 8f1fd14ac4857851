// The USART of the ATmega328P (data sheet, "USART0"), as far as 8 data bits, no parity and no interrupts need it, and the adapter.
#include <string.h>
#include <math.h>
#include "bench.h"

enum { PRR = 0x64, UCSRA = 0xc0, UCSRB = 0xc1, UCSRC = 0xc2, UBRRL = 0xc4, UBRRH = 0xc5, UDR = 0xc6 };
enum { RXC = 0x80, TXC = 0x40, UDRE = 0x20, FE = 0x10, DOR = 0x08, U2X = 0x02, RXEN = 0x10, TXEN = 0x08, PRUSART = 0x02 };
enum { QUEUE = 1 << 16, DEPTH = 3 };       // two buffered, one in the shift register

struct byte { uint8_t value; int broken; cycles_t start, length; };

int overruns;
static double bit = CLOCK_HZ / 19200.0;    // cycles, of the adapter
static struct byte queue[QUEUE];
static unsigned head, tail;
static int begun;                          // the start bit of queue[head] has been seen
static struct { uint8_t value; int broken; } fifo[DEPTH];
static int held;
static int txc, sending, waiting;          // a byte leaves; another one waits
static uint8_t leaving, next;
static cycles_t leaves_at;
static uint8_t received[QUEUE];
static int received_n;
static cycles_t last;

static int powered_down(void) { return avr->data[PRR] & PRUSART; }
static double own_bit(void) {
	int divider = (avr->data[UBRRL] | (avr->data[UBRRH] & 15) << 8) + 1;
	return divider * (avr->data[UCSRA] & U2X ? 8.0 : 16.0);
}
// Two clocks further apart than this garble a byte (data sheet, recommended maximum receiver error at 8 bits, double speed).
static int apart(void) { return fabs(own_bit() / bit - 1) > 0.015; }

void line_baud(double bps) { bit = CLOCK_HZ / bps; }
int line_pending(void) { return received_n; }
cycles_t line_last(void) { return last; }
int line_received(uint8_t *out, int most) {
	int n = received_n < most ? received_n : most;
	memcpy(out, received, n);
	memmove(received, received + n, received_n - n);
	received_n -= n;
	return n;
}

static void enqueue(uint8_t value, int broken, cycles_t length) {
	cycles_t start = now() + 1;
	if (tail != head) {
		struct byte *b = &queue[(tail - 1) % QUEUE];
		if (b->start + b->length > start) start = b->start + b->length;
	}
	queue[tail++ % QUEUE] = (struct byte){ value, broken, start, length };
}
void line_send(const uint8_t *bytes, int n) { for (int i = 0; i < n; i++) enqueue(bytes[i], 0, llround(10 * bit)); }
void line_break(cycles_t length) { enqueue(0, 1, length); }

int line_level(cycles_t at) {
	if (head == tail || at < queue[head % QUEUE].start) return 1;
	struct byte *b = &queue[head % QUEUE];
	int n = (at - b->start) / bit;
	if (b->broken || n == 0) return 0;
	return n > 8 ? 1 : b->value >> (n - 1) & 1;
}

static void arrive(const struct byte *b) {
	if (!powered || asleep() || b->start < awake_since || powered_down() || !(avr->data[UCSRB] & RXEN)) return;
	if (held == DEPTH) { overruns++; return; }
	fifo[held].value = apart() ? b->value ^ 0x5a : b->value;
	fifo[held].broken = b->broken || apart();
	held++;
}

cycles_t line_event(cycles_t at) {
	cycles_t due = 0;
	while (head != tail) {
		struct byte *b = &queue[head % QUEUE];
		cycles_t when = begun ? b->start + b->length - (b->broken ? 0 : llround(bit / 2)) : b->start;
		if (when > at) { due = when; break; }
		begun = !begun;
		module_serial_level(!begun);
		if (begun) continue;
		arrive(b);
		head++;
	}
	while (sending && leaves_at <= at) {
		received[received_n++ % QUEUE] = leaving ^ (apart() ? 0x5a : 0);
		last = leaves_at;
		sending = waiting;
		if (waiting) { leaving = next; waiting = 0; leaves_at += llround(10 * own_bit()); } else txc = 1;
	}
	if (sending && (!due || leaves_at < due)) due = leaves_at;
	return due;
}

static uint8_t status_read(avr_t *a, avr_io_addr_t addr, void *param) {
	(void)param;
	if (powered_down()) fault("the USART is used without its clock");
	return a->data[addr] = (held ? RXC : 0) | (txc ? TXC : 0) | (waiting ? 0 : UDRE) | (held && fifo[0].broken ? FE : 0) | (a->data[addr] & U2X);
}
static void status_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	(void)param;
	if (powered_down()) fault("the USART is used without its clock");
	if (v & TXC) txc = 0;
	a->data[addr] = v & U2X;
}
static uint8_t data_read(avr_t *a, avr_io_addr_t addr, void *param) {
	(void)param;
	if (!held) fault("a byte is taken that has not come");
	a->data[addr] = fifo[0].value;
	if (held) memmove(fifo, fifo + 1, sizeof fifo - sizeof fifo[0]), held--;
	return a->data[addr];
}
static void data_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	(void)a; (void)addr; (void)param;
	if (!(a->data[UCSRB] & TXEN)) { fault("a byte is sent with the transmitter off"); return; }
	if (waiting) { fault("a byte is sent over another"); return; }
	if (sending) { next = v; waiting = 1; return; }
	sending = 1; leaving = v;
	leaves_at = now() + llround(10 * own_bit());
	alarm_renew();
}
static void control_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	(void)param;
	if (v & 0xe0) fault("an interrupt of the USART is switched on");
	if (!(v & RXEN)) held = 0;
	a->data[addr] = v;
}

void line_reset(void) { held = txc = sending = waiting = 0; avr->data[UCSRC] = 0x06; }
void line_make(void) {
	avr_io_addr_t io = AVR_DATA_TO_IO(UCSRA);
	avr->io[io].r.c = status_read; avr->io[io].w.c = status_write;
	io = AVR_DATA_TO_IO(UDR);
	avr->io[io].r.c = data_read; avr->io[io].w.c = data_write;
	avr->io[AVR_DATA_TO_IO(UCSRB)].w.c = control_write; avr->io[AVR_DATA_TO_IO(UCSRB)].r.c = NULL;
	for (int r = UCSRC; r <= UBRRH; r++) { avr->io[AVR_DATA_TO_IO(r)].w.c = NULL; avr->io[AVR_DATA_TO_IO(r)].r.c = NULL; }
}
