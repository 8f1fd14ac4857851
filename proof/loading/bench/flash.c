// Self-programming of the ATmega328P (data sheet, "Boot Loader Support"): erasing and writing take 3.7 to 4.5 ms; below 0x7000 the
// processor runs on but must not read or run what lies there, from there on it stands still. When the supply goes away in the
// middle, the page holds anything between what it held and what it was to hold.
#include <string.h>
#include "bench.h"

enum { EECR = 0x3f, SPMCSR = 0x57 };
enum { SELFPRGEN = 0x01, RWWSRE = 0x10, RWWSB = 0x40, EEPE = 0x02 };
enum { ERASE = 0x03, WRITE = 0x05, FILL = 0x01, ENABLE = 0x11, STILL_AT = 0x7000, WINDOW = 4 };

int operations, slow;
uint32_t touched_low = FLASH_BYTES, touched_high;
static uint32_t seed = 88172645;
static uint8_t buffer[PAGE];
static int command, rww_busy, cut_in;
static cycles_t armed_until, busy_until, cut_at;
static double cut_share;
static int press_in, press_input;
static cycles_t press_after;

static uint32_t draw(void) { seed ^= seed << 13; seed ^= seed >> 17; seed ^= seed << 5; return seed; }
static double share(void) { return draw() / 4294967296.0; }

void flash_cut(int operation, double s) { cut_in = operation; cut_share = s; cut_at = 0; }
void flash_press(int operation, cycles_t after, int input) { press_in = operation; press_after = after; press_input = input; }
cycles_t flash_cut_at(void) { return cut_at; }

static uint8_t status_read(avr_t *a, avr_io_addr_t addr, void *param) {
	(void)param;
	return a->data[addr] = (a->cycle < busy_until ? SELFPRGEN : 0) | (rww_busy ? RWWSB : 0);
}
static void status_write(avr_t *a, avr_io_addr_t addr, uint8_t v, void *param) {
	(void)param;
	a->data[addr] = v;
	if (a->cycle < busy_until) { fault("the flash is told something while it is busy"); return; }
	command = v & 0x3f;
	armed_until = a->cycle + WINDOW + 1;
}

// Bits between old and new: all of them when nothing cuts it short.
static void change(uint8_t *cell, uint8_t to, double s) {
	uint8_t differs = *cell ^ to;
	for (int b = 0; b < 8; b++) if (differs >> b & 1 && (s >= 1 || share() < s)) *cell ^= 1 << b;
}

static int spm(avr_io_t *io, uint32_t ctl, void *param) {
	(void)io; (void)param;
	if (ctl != AVR_IOCTL_DEF('f', 's', 'p', 'm')) return -1;
	uint32_t z = avr->data[30] | avr->data[31] << 8, page = z & ~(PAGE - 1u);
	if (avr->cycle > armed_until || !(command & SELFPRGEN)) { fault("SPM without its command"); return 0; }
	if (avr->data[EECR] & EEPE) { fault("SPM while the EEPROM is written"); return 0; }
	if (avr->pc < 0x7800) { fault("SPM outside the loader"); return 0; }
	armed_until = 0;
	switch (command) {
	case FILL:
		if (buffer[z & 0x7e] != 0xff || buffer[z & 0x7e | 1] != 0xff) fault("a word of the page buffer is filled twice");
		buffer[z & 0x7e] = avr->data[0]; buffer[z & 0x7e | 1] = avr->data[1];
		return 0;
	case ENABLE:
		rww_busy = 0;
		memset(buffer, 0xff, PAGE);
		return 0;
	case ERASE: case WRITE: break;
	default: fault("the flash is told what it does not know"); return 0;
	}
	double ms = slow ? 4.5 : 3.7 + 0.8 * share();
	cycles_t takes = ms * CLOCK_HZ / 1000;
	double s = 1;
	operations++;
	if (press_in && !--press_in) module_later(avr->cycle + press_after, press_input, 1);
	if (cut_in && !--cut_in) { s = cut_share; cut_at = avr->cycle + (cycles_t)(s * takes) + 1; }
	if (page < touched_low) touched_low = page;
	if (page > touched_high) touched_high = page;
	for (int i = 0; i < PAGE; i++) {
		uint8_t *cell = avr->flash + page + i;
		if (command == WRITE && *cell != 0xff) { fault("a page is written that is not erased"); break; }
		change(cell, command == ERASE ? 0xff : buffer[i], s);
	}
	if (command == WRITE) memset(buffer, 0xff, PAGE);
	busy_until = avr->cycle + takes;
	if (page < STILL_AT) rww_busy = 1;
	else avr->cycle += cut_at && s < 1 ? (cycles_t)(s * takes) : takes;   // stands still
	return 0;
}

void flash_check(void) {
	if (!rww_busy) return;
	uint32_t pc = avr->pc, z = avr->data[30] | avr->data[31] << 8;
	if (pc < STILL_AT) { fault("flash runs that is being written"); return; }
	uint16_t op = avr->flash[pc] | avr->flash[pc + 1] << 8;
	int lpm = op == 0x95c8 || (op & 0xfe0e) == 0x9004;
	if (lpm && z < STILL_AT) fault("flash is read that is being written");
}

void flash_reset(void) { rww_busy = command = 0; armed_until = busy_until = cut_at = 0; memset(buffer, 0xff, PAGE); }
void flash_make(void) {
	static avr_io_t io = { .kind = "self-programming", .ioctl = spm };
	avr_register_io(avr, &io);
	avr->io[AVR_DATA_TO_IO(SPMCSR)].r.c = status_read;
	avr->io[AVR_DATA_TO_IO(SPMCSR)].w.c = status_write;
}
