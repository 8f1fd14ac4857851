// A bench of one to eight controllers on libsimavr, joined by one open-drain link wire.
// module.c: one controller, its resets and its power. pins.c: its pins. sleep.c: its sleep. converter.c, memory.c, serial.c: what
// libsimavr 1.6 has no use for or gets wrong. bench.c: time, events, the wire. record.c: what is written. sweep.c: many short runs.
// main.c: the setup text.
#ifndef HARNESS_H
#define HARNESS_H
#include <stdarg.h>
#include <stdint.h>
#include "sim_avr.h"
#include "sim_cycle_timers.h"
#include "sim_interrupts.h"
#include "sim_io.h"
#include "sim_irq.h"
#include "avr_adc.h"
#include "avr_extint.h"
#include "avr_ioport.h"

enum { MODULES_MAX = 8, REGISTERS_MAX = 8, OUTPUTS_MAX = 64, WINDOWS_MAX = 16, VECTORS = 26 };
enum { FLASH_BYTES = 0x8000, CLOCK_HZ = 16000000, REFRESHES_A_FRAME = 8 };
enum { FS_PER_US = 1000000000 };                // femtoseconds; time is counted in whole femtoseconds
enum { CHAIN, PINS };                           // kinds of module
enum { CAUSE_POWER, CAUSE_EXTERNAL, CAUSE_WATCHDOG };
enum { PORT_B, PORT_C, PORT_D };
enum { REG_PIN, REG_DDR, REG_PORT };
enum { PRR = 0x64, PRADC = 0x01, PRUSART0 = 0x02 };
enum { STRAP_MISSING, STRAP_LH, STRAP_RH, STRAP_BOTH };
enum { SENSE_SUPPLY, SENSE_HEAT };
enum { EDGES_KEPT = 16, EEPROM_BYTES = 1024, KEPT_BYTES = 10, REMNANT = 0x100, REMNANT_BYTES = 2 }; // of these the core makes use
enum { WIRE_FREE, WIRE_LOW, WIRE_SUPPLY };

typedef uint64_t fs_t;                          // a time, femtoseconds since the start of the run
typedef uint64_t cycles_t;                      // cycles of one controller, counted from its power-on time

enum fault {                                    // what a core does that its board would not stand
	FAULT_SPI_COLLISION = 1,                // byte written while another is being shifted
	FAULT_LATCH_IN_SHIFT,                   // register clock rises while a byte is being shifted
	FAULT_SPI_OFF,                          // byte written while SPI is off, a slave, or its pins are inputs
	FAULT_LINK_DRIVEN_HIGH,                 // the open-drain wire is driven high
	FAULT_LONE_PORT,                        // pins: one port written in an interrupt without the other
	FAULT_STUCK,                            // controller runs wild or sleeps for ever; only a reset helps
	FAULT_LIT_ASLEEP,                       // power-down with an output lit
	FAULT_AWAKE_ASLEEP,                     // power-down with the watchdog or the converter on
	FAULT_CONVERTER,                        // another channel, reference or speed than the board stands
	FAULT_MEMORY,                           // EEPROM touched while it is being written
};

typedef struct {                                // event at a time
	fs_t at;
	int module;                             // -1: the wire
	int order, place;                       // line number, echoed; place among the events of its time
	int rank;                               // of events at one time: what the module is like, its first power, all else
	enum { EV_INPUT, EV_XOR, EV_WORD, EV_RESET, EV_POWER, EV_LINK_OPEN, EV_WIRE, EV_SENSE, EV_STRAP, EV_SERIAL, EV_MEMORY, EV_REMNANT } what;
	uint32_t a, b;                          // input 0..7 and level; address and mask or word; state; sense and code
} event_t;

typedef struct { event_t *event; int n; } list_t;

typedef struct { struct module *m; uint64_t n, total; uint32_t min, max; cycles_t entered; } vector_t; // cycles in one interrupt vector

typedef struct {                                // light of the outputs within one window of time
	cycles_t from, to;                      // module cycles
	uint32_t lit[OUTPUTS_MAX];              // cycles lit
	uint32_t dark[OUTPUTS_MAX];             // longest dark stretch, cycles
} window_t;

typedef struct module {
	avr_t *avr;
	int index, kind, registers;
	fs_t on, period;                        // power-on time; one cycle
	cycles_t pause;                         // cycles of its power-on time in which its clock stood still
	int powered, stuck, asleep, in_reset;
	int down; cycles_t down_at, slept;      // in power-down, since which cycle of the clock; cycles in power-down before
	unsigned starts;
	int lived;                              // RAM is as it was before the reset
	int planted; uint8_t plant[REMNANT_BYTES]; // what RAM is to hold at the next power-on, where it holds anything else
	avr_run_t plain_run;
	void (*core_reset)(avr_t *);
	struct hooked { struct module *m; int port; avr_io_write_t c; void *param; } hooks[3][3], watchdog;
	uint8_t outside[3];                     // levels at the pins of ports B, C, D from outside
	uint8_t open[3];                        // pins that nothing outside drives
	avr_ioport_t *port[3];
	int strap, line_low;                    // the serial line is held low from outside
	uint8_t code[2];                        // what the converter would give at the sense and the heat pin
	struct { int busy, channel, clock; uint16_t result; avr_adc_t *of; } adc; // clock: cycles, 0 before its first conversion
	uint8_t eeprom[EEPROM_BYTES];
	struct { int busy; cycles_t open_until; uint16_t at; uint8_t value; } ee;
	struct {
		int bit, n, overrun, sending, waiting, sent, edges;
		cycles_t next;                  // when the next bit is sampled
		uint16_t shift, fifo[2];
		uint8_t out, after;             // being sent, and what waits behind it
		struct { cycles_t at; int level; } edge[EDGES_KEPT];
	} uart;
	uint16_t heard[8]; int heards;          // bytes read in the running interrupt, with what was wrong with them
	int level_mode[2];                      // INT0, INT1 disconnected from their pins

	uint8_t shift[REGISTERS_MAX], latch[REGISTERS_MAX]; // byte 0: register nearest the controller
	cycles_t spi_free;                      // cycle from which the next byte or latch is allowed
	int gate, rck, pull, high;              // /G level, register clock, link pulled, link driven high
	uint16_t ports;                         // pins: outputs 1..12
	int half; cycles_t half_at;             // pins: port that waits for its partner
	int link_open;
	uint8_t pinc; int pinc_fresh;           // PINC read in this interrupt, PIND not yet

	cycles_t logged;                        // cycle of the last record
	uint64_t sleep, samples, resets, faults, stuck_times;
	uint64_t busy_ring[REFRESHES_A_FRAME], busy_sum, busy_worst; int busy_n;
	cycles_t sample_at; uint64_t sample_sleep;
	vector_t vector[VECTORS];
	uint16_t stack_low;
	uint64_t lit; cycles_t lit_at, dark_since[OUTPUTS_MAX];
	window_t window[WINDOWS_MAX];
} module_t;

typedef struct {
	module_t module[MODULES_MAX]; int modules;
	event_t *event; int events, next;
	int wire_fault, wire;
	int burst;                              // cycles a controller may run between two looks at events and stack
	fs_t length, told, now;
	fs_t window[WINDOWS_MAX][2]; int windows;
} bench_t;

extern bench_t bench;
extern int bench_out;                           // descriptor of the stream

// module.c
void module_make(module_t *m, int kind, int registers, double ppm, fs_t on, const uint8_t *flash);
void module_step(module_t *m);
enum { POWER_GONE, POWER_BACK, POWER_BACK_SOON };
void module_power(module_t *m, int how);          // soon: RAM has lived
void module_reset(module_t *m);
void module_close(module_t *m);                 // end of run: closes the accounts of light and sleep
void fault(module_t *m, enum fault f);
static inline cycles_t module_cycle(const module_t *m) { return m->avr->cycle + m->pause; } // counted from its power-on time
static inline fs_t module_time(const module_t *m) { return m->on + module_cycle(m) * m->period; }
static inline int module_runs(const module_t *m) { return m->powered && !m->down; }
cycles_t module_cycle_at(const module_t *m, fs_t t);   // first cycle at or after a time
void hook_write(module_t *m, int address, avr_io_write_t f);
void hook_read(module_t *m, int address, avr_io_read_t f);

// pins.c
void pins_make(module_t *m);
void pins_settle(module_t *m);                  // after a reset
void pins_changed(module_t *m, int port, int written);
void pin_outside(module_t *m, int port, int bit, int level);
void module_input(module_t *m, int input, int level);
void module_link(module_t *m, int level);
void module_strap(module_t *m, int strap);
cycles_t pin_edge(const module_t *m);

// sleep.c
void sleep_make(module_t *m);
void sleep_step(module_t *m);                   // after every run of instructions
void sleep_wake(module_t *m);
void sleep_end(module_t *m, cycles_t at);       // ended by a reset, the loss of its supply or the end of the run

// converter.c, memory.c, serial.c
void converter_make(module_t *m);
void converter_reset(module_t *m);
void memory_make(module_t *m);
void memory_reset(module_t *m, int powerless);
void serial_make(module_t *m);
void serial_reset(module_t *m);
void serial_lose(module_t *m);                  // a byte that is being received
void serial_line(module_t *m, int low);         // from outside
void serial_edge(module_t *m, int level);       // PD0 has changed
int serial_takes_pin(const module_t *m);        // the receiver keeps PD0 from driving

// light.c
void light_changed(module_t *m, cycles_t at);
void light_close(module_t *m, cycles_t at);
uint64_t light_now(const module_t *m);

// bench.c
void bench_run(fs_t until);                     // runs every module to the given time
void bench_sort(void);
void wire_update(void);

// record.c
void record_open(int fd, int text, int summary_only);
void record_header(void);
void record_flush(void);
void record_sample(module_t *m, cycles_t at, uint8_t inputs, int link);
void record_word(module_t *m, cycles_t at, const uint8_t *word, int n);
void record_level(module_t *m, cycles_t at, char what, int level); // 'G' gate, 'P' link pull
void record_reset(module_t *m, int cause);
void record_fault(module_t *m, cycles_t at, enum fault f);
void record_event(module_t *m, const event_t *e);
void record_tick(module_t *m);
void record_code(module_t *m, int sense, uint8_t code);
void record_heard(module_t *m, uint16_t byte);
void record_sent(module_t *m, uint8_t byte);
void record_kept(module_t *m, uint16_t address, uint8_t value);
void record_sleep(module_t *m, cycles_t at, int down);
void record_off(module_t *m, cycles_t at);
void record_end(module_t *m);
void record_variant(uint32_t n);

// sweep.c
int sweep(int jobs, fs_t branch, const list_t *variant, int variants);
void die(const char *fmt, ...) __attribute__((noreturn, format(printf, 1, 2)));
#endif
