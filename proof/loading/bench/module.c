// The processor with its pins, and what libsimavr 1.6 leaves out or gets wrong put right.
#include <stdlib.h>
#include <string.h>
#include "bench.h"

enum { PORT_B, PORT_C, PORT_D };
enum { REG_PIN, REG_DDR, REG_PORT };
static const uint8_t base[3] = { 0x23, 0x26, 0x29 };    // PINx; DDRx and PORTx follow
enum { SMCR = 0x53, PCIFR = 0x3b, EIFR = 0x3c, SPCR = 0x4c, SPSR = 0x4d, SPDR = 0x4e, MCUSR = 0x54, WDTCSR = 0x60, EICRA = 0x69, DDRD = 0x2a };
enum { GATE = 1, RCK = 2, LINK_PINS = 0 };
enum { ENTRY_CYCLES = 4, START_CYCLES = 16398, WAKE_CYCLES = 16384 };   // ATmega328P data sheet: interrupt response; start-up with this fuse

avr_t *avr;
enum kind kind;
int powered, resets;
cycles_t awake_since;
cycles_t on_time[OUTPUTS], watched_since;
uint64_t lit_word, watched;
cycles_t latency, longest;
int presses;

static uint8_t outside[3] = { 0, 0, 0xe7 };             // in7 and in8 low, everything else of port D high
static uint8_t shift[8], latch[8];
static int rck, gate = 1, in_reset, stuck, sampled;      // the inputs were read in this interrupt
static cycles_t spi_free, accounted, off_clock;         // off_clock: time goes on while the supply is off
struct hooked { int port; void (*c)(struct avr_t *, avr_io_addr_t, uint8_t, void *); void *param; };
static struct hooked hooks[3][3], watchdog;
static void (*core_reset)(struct avr_t *);
static struct later { cycles_t at; int input, level; } later[64];
static int later_n;
static cycles_t pressed_at;

cycles_t now(void) { return powered ? avr->cycle : off_clock; }
static int ddr(int port) { return avr->data[base[port] + REG_DDR]; }
static int out(int port) { return avr->data[base[port] + REG_PORT]; }
cycles_t edge(void) {
	const uint8_t *p = avr->flash + avr->pc;
	return in_reset ? now() : now() + ((p[1] & 0xf8) == 0xb8 ? 1 : 2);   // OUT takes one cycle, SBI, CBI and stores two
}

// --- light ---

static uint64_t shining(void) { return gate && kind == CHAIN ? 0 : lit_word; }
static void account(cycles_t at) {
	uint64_t w = shining();
	for (int o = 0; w && o < OUTPUTS; o++) if (w >> o & 1) on_time[o] += at - accounted;
	accounted = at;
}
void light_account(void) { account(now()); }
static void show(uint64_t word, cycles_t at) {
	int is = watched && (word & watched) == watched;
	account(at);
	lit_word = word;
	if (!is) watched_since = 0; else if (!watched_since) watched_since = at;
	if (is && pressed_at) {
		if (at - pressed_at > latency) latency = at - pressed_at;
		pressed_at = 0;
	}
}
static void pins_changed(void) {
	cycles_t at = edge();
	int b = ddr(PORT_B), d = ddr(PORT_D);
	if (kind == PINS) {
		uint16_t w = (out(PORT_B) & b & 0x3f) | (out(PORT_D) & d & 0xfc) << 4;
		if (w != lit_word) show(w, at);
		return;
	}
	int g = b >> GATE & 1 ? out(PORT_B) >> GATE & 1 : 1;  // pull-up: dark while the pin floats
	int r = b >> RCK & 1 ? out(PORT_B) >> RCK & 1 : 0;
	if (r && !rck) {
		if (at < spi_free) fault("the registers are latched while they shift");
		memcpy(latch, shift, sizeof latch);
		uint64_t w = 0;
		for (int i = 0; i < 8; i++) w |= (uint64_t)latch[i] << 8 * i;
		show(w, at);
	}
	rck = r;
	if (g != gate) { account(at); gate = g; }
}

// --- pins ---

static void raise_pin(int port, int bit) {
	avr_ioport_external_t ext = { .name = "BCD"[port], .mask = (uint8_t)~ddr(port), .value = (uint8_t)(outside[port] & ~ddr(port)) };
	avr_ioctl(avr, AVR_IOCTL_IOPORT_SET_EXTERNAL("BCD"[port]), &ext);
	if (!(ddr(port) >> bit & 1)) avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ("BCD"[port]), bit), outside[port] >> bit & 1);
}
static void set_outside(int port, int bit, int level) {
	outside[port] = (outside[port] & ~(1 << bit)) | !!level << bit;
	if (powered) raise_pin(port, bit);
}
void module_input(int input, int level) { if (input < 6) set_outside(PORT_C, input, level); else set_outside(PORT_D, input - 3, level); }
void module_serial_level(int level) { set_outside(PORT_D, 0, level); }

static uint8_t read_pin(avr_t *a, avr_io_addr_t addr, void *param) {
	int port = (addr - base[0]) / 3;
	uint8_t d = ddr(port), v = (outside[port] & ~d) | (out(port) & d);
	(void)param;
	if (port == PORT_C) sampled = 1;
	if (port == PORT_D) v = (v & ~1) | (line_level(now()) && !(kind == PINS && d & 1));
	return a->data[addr] = v;
}
static void port_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	struct hooked *h = param;
	if ((addr - base[0]) % 3 == REG_DDR) {
		avr_ioport_external_t ext = { .name = "BCD"[h->port], .mask = (uint8_t)~v, .value = (uint8_t)(outside[h->port] & ~v) };
		avr_ioctl(a, AVR_IOCTL_IOPORT_SET_EXTERNAL("BCD"[h->port]), &ext);
	}
	if (h->c) h->c(a, addr, v, h->param); else a->data[addr] = v;
	pins_changed();
}

// --- SPI: libsimavr 1.6 takes 100 us for every byte ---

static avr_cycle_count_t spi_done(avr_t *a, avr_cycle_count_t when, void *param) { (void)when; (void)param; a->data[SPSR] |= 0x80; return 0; }
static void spdr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	(void)param;
	a->data[addr] = v;
	a->data[SPSR] &= ~0x80;
	if ((a->data[SPCR] & 0x53) != 0x50 || !(a->data[SPSR] & 1)) { fault("the SPI is not set to half the clock"); return; }
	if (edge() < spi_free) { fault("a byte is shifted into another"); return; }
	spi_free = edge() + 18;
	avr_cycle_timer_register(a, 17, spi_done, NULL);
	memmove(shift + 1, shift, 7);
	shift[0] = v;
}
static uint8_t spdr_read(avr_t *a, avr_io_addr_t addr, void *param) { (void)param; a->data[SPSR] &= ~0x80; return a->data[addr]; }

// --- interrupts, sleep, watchdog, as in the proof's bench ---

static void interrupt(struct avr_irq_t *irq, uint32_t running, void *param) {
	static cycles_t entered;
	(void)irq; (void)param;
	if (running) { entered = avr->cycle; avr->cycle += ENTRY_CYCLES; sampled = 0; return; }
	if (sampled && avr->cycle - entered > longest) longest = avr->cycle - entered;
}
static void no_wall_sleep(avr_t *a, avr_cycle_count_t n) { (void)a; (void)n; }
static void plug_edges(int plug) {                       // 1.6 polls INT0 and INT1 in every cycle while they are by level
	static int plugged = 1;
	for (int n = 0; n < 2 && plug != plugged; n++) {
		avr_irq_t *pin = avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), 2 + n), *in = avr_io_getirq(avr, AVR_IOCTL_EXTINT_GETIRQ(), EXTINT_IRQ_OUT_INT0 + n);
		if (plug) avr_connect_irq(pin, in); else avr_unconnect_irq(pin, in);
	}
	plugged = plug;
}
static void eicra_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) { (void)param; a->data[addr] = v; plug_edges((v & 3) && (v & 12)); }
static void wdtcsr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {   // 1.6 keeps the old time of a running watchdog
	(void)param;
	if (a->data[addr] & 0x10 && v & 0x08) a->data[addr] &= ~0x08;
	watchdog.c(a, addr, v, watchdog.param);
}

// --- alarm: what the world outside does next ---

void module_later(cycles_t at, int input, int level) {
	if (later_n < 64) later[later_n++] = (struct later){ at, input, level };
	if (powered) alarm_renew();
}
static cycles_t world(cycles_t at) {                     // does what is due; gives when the next thing is, 0: nothing
	cycles_t due = line_event(at);
	for (int i = 0; i < later_n;) {
		struct later l = later[i];
		if (l.at > at) { if (!due || l.at < due) due = l.at; i++; continue; }
		later[i] = later[--later_n];
		module_input(l.input, l.level);
		if (l.level && !watched_since) { pressed_at = l.at; presses++; }
	}
	return due;
}
static avr_cycle_count_t alarm(avr_t *a, avr_cycle_count_t when, void *param) { (void)when; (void)param; return world(a->cycle); }
void alarm_renew(void) {
	avr_cycle_timer_cancel(avr, alarm, NULL);
	cycles_t due = world(avr->cycle);
	if (due) avr_cycle_timer_register(avr, due > avr->cycle ? due - avr->cycle : 1, alarm, NULL);
}

// --- reset, power ---

static void after_reset(avr_t *a) { if (core_reset) core_reset(a); in_reset = 1; }
static void settle(int cause_power) {
	int dog = avr->data[MCUSR] & 8;
	if (cause_power) avr->data[MCUSR] = 1; else if (dog) resets++;
	avr->run_cycle_limit = 1;
	stuck = 0;
	spi_free = awake_since = watched_since = 0;
	line_reset();
	flash_reset();
	plug_edges(0);
	pins_changed();
	light_account();
	avr->cycle += START_CYCLES;
	for (int p = 0; p < 3; p++) for (int bit = 0; bit < 8; bit++) raise_pin(p, bit);
	avr->data[EIFR] = avr->data[PCIFR] = 0;
	in_reset = 0;
	alarm_renew();
}
void module_power(int on) {
	if (on == powered) return;
	light_account();
	if (!on) {
		cycles_t at = avr->cycle;
		avr_reset(avr);
		off_clock = at;
		show(0, at);
		gate = 1;
		powered = in_reset = 0;
		return;
	}
	static uint32_t x = 2463534242u;                     // memory comes up with any content
	for (int i = 0x100; i <= avr->ramend; i++) { x ^= x << 13; x ^= x >> 17; x ^= x << 5; avr->data[i] = x; }
	avr->cycle = off_clock;
	powered = 1;
	avr_reset(avr);
	settle(1);
}

int asleep(void) { return powered && avr->state == cpu_Sleeping && (avr->data[SMCR] >> 1 & 7) == 2; }

void module_run_until(cycles_t when) {
	if (powered) alarm_renew();
	while (now() < when) {
		if (!powered) {
			cycles_t due = world(off_clock);
			off_clock = due && due < when ? due : when;
			continue;
		}
		flash_check();
		cycles_t cut = flash_cut_at();
		if (cut && avr->cycle >= cut) { module_power(0); continue; }
		if (stuck) {                                     // time passes, only the watchdog can help
			avr->cycle += 1 + avr_cycle_timer_process(avr);
		} else {
			int deep = asleep(), state = avr_run(avr);
			if (deep && !asleep()) awake_since = avr->cycle += WAKE_CYCLES;   // the oscillator starts anew
			if (state == cpu_Crashed || state == cpu_Done || state == cpu_Stopped) { stuck = 1; fault("the processor is stuck"); }
		}
		if (in_reset) settle(0);
	}
}

void module_make(void) {
	avr = avr_make_mcu_by_name("atmega328p");
	if (!avr) { fprintf(stderr, "libsimavr has no atmega328p\n"); exit(2); }
	avr_init(avr);
	avr->frequency = CLOCK_HZ;
	avr->vcc = avr->avcc = avr->aref = 5000;             // millivolts
	avr->log = 0;
	avr->sleep = no_wall_sleep;
	core_reset = avr->reset; avr->reset = after_reset;
	memset(avr->flash, 0xff, FLASH_BYTES);
	avr->codeend = FLASH_BYTES;
	avr->io[AVR_DATA_TO_IO(SPDR)].w.c = spdr_write;
	avr->io[AVR_DATA_TO_IO(SPDR)].r.c = spdr_read;
	avr->io[AVR_DATA_TO_IO(EICRA)].w.c = eicra_write;
	watchdog = (struct hooked){ 0, avr->io[AVR_DATA_TO_IO(WDTCSR)].w.c, avr->io[AVR_DATA_TO_IO(WDTCSR)].w.param };
	avr->io[AVR_DATA_TO_IO(WDTCSR)].w.c = wdtcsr_write;
	for (int p = 0; p < 3; p++) {
		avr->io[AVR_DATA_TO_IO(base[p])].r.c = read_pin;
		for (int r = 0; r < 3; r++) {
			int io = AVR_DATA_TO_IO(base[p] + r);
			hooks[p][r] = (struct hooked){ p, avr->io[io].w.c, avr->io[io].w.param };
			avr->io[io].w.c = port_write; avr->io[io].w.param = &hooks[p][r];
		}
	}
	for (int n = 1; n < 26; n++) {
		avr_irq_t *q = avr_get_interrupt_irq(avr, n);
		if (q) avr_irq_register_notify(q + AVR_INT_IRQ_RUNNING, interrupt, NULL);
	}
	line_make();
	flash_make();
}
