// The EEPROM: 1.6 writes at once and never looks busy. This one takes its time and is kept without power, except for a byte that was
// being written (ATmega328P data sheet, "EEPROM Data Memory").
#include "harness.h"

enum { EECR = 0x3f, EEDR = 0x40, EEARL = 0x41, EEARH = 0x42 };
enum { EERE = 1, EEPE = 2, EEMPE = 4, EEPM = 0x30, WINDOW_CYCLES = 4, READ_CYCLES = 4, WRITE_CYCLES = 2 };
enum { PROGRAM_CYCLES = 54400, HALF_CYCLES = 28800 };  // 3.4 ms; erase or write alone 1.8 ms

static void keep(module_t *m, uint8_t v) {
	m->ee.busy = 0;
	m->eeprom[m->ee.at] = v;
	record_kept(m, m->ee.at, v);
}
static avr_cycle_count_t written(avr_t *a, avr_cycle_count_t when, void *param) {
	module_t *m = param;
	(void)a; (void)when;
	keep(m, m->ee.value);
	return 0;
}
static uint8_t eecr_read(avr_t *a, avr_io_addr_t addr, void *param) {
	module_t *m = param;
	return a->data[addr] = (a->data[addr] & 0x38) | (m->ee.busy ? EEPE : 0) | (a->cycle <= m->ee.open_until ? EEMPE : 0);
}
static void eecr_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	module_t *m = param;
	int open = a->cycle <= m->ee.open_until;
	uint16_t at = (a->data[EEARL] | a->data[EEARH] << 8) & (EEPROM_BYTES - 1);
	if (m->ee.busy && v & (EERE | EEMPE)) { fault(m, FAULT_MEMORY); return; }
	a->data[addr] = v & 0x38;
	if (v & EEPE && open && !m->ee.busy) {
		int mode = v & EEPM;
		m->ee.busy = 1; m->ee.at = at; m->ee.open_until = 0;
		m->ee.value = mode == 0x10 ? 0xff : mode == 0x20 ? m->eeprom[at] & a->data[EEDR] : a->data[EEDR];
		avr_cycle_timer_register(a, mode ? HALF_CYCLES : PROGRAM_CYCLES, written, m);
		a->cycle += WRITE_CYCLES;
	} else if (v & EEMPE) {
		m->ee.open_until = a->cycle + WINDOW_CYCLES; // from SBI to the begin of the next that writes
	}
	if (v & EERE) { a->data[EEDR] = m->eeprom[at]; a->cycle += READ_CYCLES; }
}
// A write under way ends well in a reset, and in anything without power.
void memory_reset(module_t *m, int powerless) {
	if (m->ee.busy && powerless) m->eeprom[m->ee.at] = m->starts & 1 ? 0xff : m->ee.value ^ 0x5a; // no more than erased, or anything
	else if (m->ee.busy) keep(m, m->ee.value);
	m->ee.busy = 0;
	m->ee.open_until = 0;
}
void memory_make(module_t *m) {
	for (int i = 0; i < EEPROM_BYTES; i++) m->eeprom[i] = 0xff;
	hook_write(m, EECR, eecr_write);
	hook_read(m, EECR, eecr_read);
}
